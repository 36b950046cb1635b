"""Questions under headings: each stands once, in order, and what wants a word is never folded away."""

from __future__ import annotations

import json
from pathlib import Path
from typing import Any

import pytest

from heaterapp import rules
from heaterapp.filling.typed import questions_of
from heaterapp.rules import CATALOGUE, SECTIONS
from heaterapp.sheet.groups import AT_ONCE, HEADINGS, Group, groups
from heaterapp.sheet.live import live

JOBS = Path(__file__).parent / "jobs"


def _whole(**different: Any) -> dict[str, Any]:
    answers = json.loads((JOBS / "gas_storage_us_ca.json").read_text(encoding="utf-8"))["answers"]
    return {k: v for k, v in {**answers, **different}.items() if v is not None}


def _groups(section: str, answers: dict[str, Any], wrong: frozenset[str] = frozenset()) -> dict[str, Group]:
    now = live(answers, rules.assess(answers, answers["place"]).as_json(), (section,))
    return {g.title: g for g in groups(section, [q.name for q in questions_of(section)], now, answers, wrong)}


@pytest.mark.parametrize("section", list(SECTIONS))
def test_every_question_stands_once_and_in_its_order(section: str) -> None:
    stands = [n for g in _groups(section, _whole()).values() for n in g.names]
    assert stands == [q.name for q in questions_of(section)]


def test_headings_begin_at_questions_of_their_section_in_order() -> None:
    order = list(CATALOGUE)
    for section, parts in HEADINGS.items():
        at = [order.index(name) for name, _ in parts]
        assert at == sorted(set(at)), section
        assert {CATALOGUE[name].section for name, _ in parts} == {section}
        assert order[at[0]] == next(q.name for q in CATALOGUE.values() if q.section == section)


def test_what_is_answered_and_meets_folds_to_a_line() -> None:
    valve = _groups("relief", _whole())["Relief valve"]
    assert (valve.folded, valve.asked, valve.usual) == (True, 9, 2)


@pytest.mark.parametrize(
    "different",
    [{"relief_capacity_btuh": None}, {"relief_capacity_btuh": "20000"}, {"relief_pressure_psi": "190"}],
    ids=["unanswered", "too small", "set too high"],
)
def test_what_wants_a_word_stays_open(different: dict[str, Any]) -> None:
    assert not _groups("relief", _whole(**different))["Relief valve"].folded


def test_an_answer_that_could_not_be_saved_stays_open() -> None:
    parts = _groups("relief", _whole(), frozenset({"relief_capacity_btuh"}))
    assert not parts["Relief valve"].folded
    assert parts["Relief pipe"].folded


def test_a_section_without_headings_never_folds() -> None:
    assert [g.folded for g in _groups("old", _whole()).values()] == [False]


def test_a_heading_with_nothing_asked_is_known() -> None:
    attic = _groups("place", _whole())["Attic"]
    assert (attic.asked, attic.folded) == (0, False)


def _begun(**more: Any) -> dict[str, Any]:
    start = ("job_kind", "heater_kind", "place", "address_street", "address_city")
    return {**{k: v for k, v in _whole().items() if k in start}, **more}


def _in_view(section: str, answers: dict[str, Any]) -> list[Group]:
    now = live(answers, rules.assess(answers, answers["place"]).as_json(), (section,))
    wanted = [q.name for q in questions_of(section) if q.name not in now["spare"]]
    return groups(section, wanted, now, answers, ())


@pytest.mark.parametrize("section", list(HEADINGS))
def test_a_blank_section_opens_no_more_than_two_screens_of_questions(section: str) -> None:
    parts = _in_view(section, _begun(**({"heater_kind": "electric_storage"} if section == "electric" else {})))
    assert sum(g.left for g in parts if not g.folded) <= AT_ONCE
    assert any(g.asked and not g.folded for g in parts)


def test_a_heading_waits_for_its_turn_and_says_how_many_it_asks() -> None:
    blank = {g.title: g for g in _in_view("plate", _begun())}
    assert (blank["Kind of heater"].folded, blank["Kind of heater"].shown) == (True, "Gas tank")
    waiting = {t: g.left for t, g in blank.items() if g.folded and g.left}
    assert waiting == {"Use, pressure, temperature": 4, "Burner and markings": 3, "Weight and clearance": 4}
    done = {
        n: _whole()[n] for t in ("Which heater", "Size and input") for n in blank[t].names if n in _whole()
    }
    later = {g.title: g for g in _in_view("plate", _begun(**done))}
    assert later["Size and input"].folded
    assert not later["Use, pressure, temperature"].folded
    assert not later["Burner and markings"].folded
    assert later["Weight and clearance"].folded


def test_a_heading_begun_or_with_a_fault_does_not_wait() -> None:
    assert not {g.title: g for g in _in_view("plate", _begun(floor_kind="wood"))}[
        "Weight and clearance"
    ].folded
    answers = _begun()
    now = live(answers, rules.assess(answers, answers["place"]).as_json(), ("plate",))
    wanted = [q.name for q in questions_of("plate") if q.name not in now["spare"]]
    parts = groups("plate", wanted, now, answers, ("heater_clearance_in",))
    assert not next(g for g in parts if g.title == "Weight and clearance").folded
