"""Section forms: every field fed with nonsense, what was typed is kept, what was not touched is not sent on."""

from __future__ import annotations

import json
from functools import cache
from pathlib import Path
from typing import Any

import pytest
from werkzeug.datastructures import MultiDict

from heaterapp.filling.together import kept_apart, merged, seen_from, seen_text
from heaterapp.filling.typed import boxes, questions_of, read_one, shown
from heaterapp.forms import section_form
from heaterapp.rules import CATALOGUE, SECTIONS, BadAnswer, Job
from heaterapp.rules.question import Question

ASKED = [q for section in SECTIONS for q in questions_of(section)]
# Nonsense that no question can take: kinds that happen to take one are left out below.
NONSENSE = [
    "\x00",
    "٦٠",
    "６０",
    "nan",
    "inf",
    "1e9",
    "--5",
    "1_000",
    "9" * 41,
    "'; DROP",
    "<b>",
    "\ud800",
    "x" * 10_000,
]
WORDS = ("text",)


def _read(question: Question, **ends: str | list[str]) -> Any:
    return _form(question, **ends)[question.name]


def _form(question: Question, **ends: str | list[str]) -> Any:
    pairs = [
        (question.name + end, one)
        for end, given in ends.items()
        for one in ([given] if isinstance(given, str) else given)
    ]
    return section_form(question.section)(MultiDict(pairs), data={})


@cache
def _fed(section: str, text: str) -> tuple[Any, dict[str, Any]]:
    """A section's form with the same text in every box of it, and what it would change."""
    pairs = [(question.name + end, text) for question in questions_of(section) for end in boxes(question)]
    form = section_form(section)(MultiDict(pairs), data={})
    return form, form.changes({})


@pytest.mark.parametrize("question", ASKED, ids=lambda q: q.name)
def test_no_field_takes_nonsense(question: Question) -> None:
    for text in NONSENSE:
        form, changes = _fed(question.section, text)
        field = form[question.name]
        any_words = question.kind in WORDS and question.name != "place" and not question.written
        if any_words and len(text) <= 200 and text.isprintable():
            assert field.answer == text.strip()
            continue
        assert field.process_errors, f"{question.name} took {text!r}"
        assert question.name not in changes


@pytest.mark.parametrize("question", ASKED, ids=lambda q: q.name)
def test_an_answer_sent_twice_is_refused(question: Question) -> None:
    field = _read(question, **{boxes(question)[0]: ["1", "2"]})
    assert field.process_errors == ["one answer, sent once"]


@pytest.mark.parametrize("question", [q for q in ASKED if q.hard], ids=lambda q: q.name)
def test_both_ends_of_what_is_possible_are_taken_and_a_step_beyond_is_not(question: Question) -> None:
    assert question.hard is not None
    low, high = question.hard
    ends = boxes(question)[:1] if question.kind != "two_lengths" else boxes(question)
    for value, good in ((low, True), (high, True), (low - 1, False), (high + 1, False)):
        field = _read(question, **dict.fromkeys(ends, f"{value:f}"))
        assert bool(field.process_errors) is not good, f"{question.name} {value}"


@pytest.mark.parametrize("question", [q for q in ASKED if q.kind == "number"], ids=lambda q: q.name)
def test_a_measurement_may_be_missing_with_a_reason_or_not_here(question: Question) -> None:
    field = _read(question, **{"": "", "-said": "could_not_measure", "-why": "behind the wall"})
    assert field.answer == {"could_not_measure": "behind the wall"}
    assert _read(question, **{"": "", "-said": "could_not_measure", "-why": ""}).process_errors
    assert _read(question, **{"": "", "-said": "not_here"}).answer == "not_here"
    assert _read(question, **{"": "", "-said": "gone"}).process_errors


def test_a_number_typed_beside_an_old_excuse_wins() -> None:
    stored = {"house_pressure_psi": {"could_not_measure": "no gauge"}}
    sent = MultiDict(
        {
            "house_pressure_psi": "60",
            "house_pressure_psi-said": "could_not_measure",
            "house_pressure_psi-why": "no gauge",
        }
    )
    assert section_form("water")(sent, data=stored)["house_pressure_psi"].answer == "60"


def test_what_cannot_be_read_stands_in_its_box_as_typed() -> None:
    form = section_form("water")(
        MultiDict({"house_pressure_psi": "sixty\x00", "cold_inlet_f": "45"}), data={}
    )
    assert form["house_pressure_psi"].typed[""] == "sixty\ufffd"
    assert form.faults().keys() == {"house_pressure_psi"}
    assert form.changes({}) == {"cold_inlet_f": "45"}


@pytest.mark.parametrize(
    ("typed", "kept", "again"),
    [
        ("14 3/8", "14.375", "14 3/8"), ('14-3/8"', "14.375", "14 3/8"), ("1' 2", "14", "14"), ("5½", "5.5", "5 1/2"),
        ("14.375", "14.375", "14 3/8"), (" 14 ", "14", "14"), ("14.4", "14.4", "14.4"),
    ],
)  # fmt: skip
def test_lengths_are_read_and_shown_back_as_a_tape_reads(typed: str, kept: str, again: str) -> None:
    field = _read(CATALOGUE["tank_height_in"], **{"": typed})
    assert field.answer == kept
    assert shown(field.question, kept)[""] == again


@pytest.mark.parametrize("job", sorted(p.name for p in (Path(__file__).parent / "jobs").glob("*.json")))
def test_a_stored_job_shown_and_sent_back_untouched_changes_nothing(job: str) -> None:
    whole = json.loads((Path(__file__).parent / "jobs" / job).read_text(encoding="utf-8"))["answers"]
    answers = Job(whole).canonical()
    for section in SECTIONS:
        sent = MultiDict()
        for question in questions_of(section):
            for end, text in shown(question, answers.get(question.name)).items():
                sent[question.name + end] = text
        form = section_form(section)(sent, data=answers)
        assert form.faults() == {}
        assert form.changes(answers) == {}


def test_only_what_the_person_changed_is_sent_on() -> None:
    answers = {"house_pressure_psi": "60", "cold_inlet_f": "45"}
    seen = seen_from(seen_text("water", answers), {})
    form = section_form("water")(
        MultiDict({"house_pressure_psi": "60", "cold_inlet_f": "50"}), data={"house_pressure_psi": "99"}
    )
    assert form.changes(seen) == {"cold_inlet_f": "50"}


@pytest.mark.parametrize("text", [None, "", "{", "[]", "7", "[" * 5000])
def test_a_broken_note_of_what_was_seen_falls_back_on_what_is_stored(text: str | None) -> None:
    assert seen_from(text, {"cold_inlet_f": "45"}) == {"cold_inlet_f": "45"}


def test_answers_that_cannot_go_together_are_named_and_the_rest_goes() -> None:
    going, refused = kept_apart(
        {"strap_heights_in": ["16", "45"]}, {"tank_base_in": "18", "wall_gap_in": "1"}
    )
    assert going == {"wall_gap_in": "1"}
    assert list(refused) == ["tank_base_in"]
    assert "Strap heights" in refused["tank_base_in"]


def test_a_changed_answer_is_no_longer_one_accepted_as_usual() -> None:
    stored = {
        "relief_pressure_psi": "150",
        "relief_trap": "no",
        "accepted_as_usual": ["relief_pressure_psi", "relief_trap"],
    }
    assert merged(stored, {"relief_trap": "yes"})["accepted_as_usual"] == ["relief_pressure_psi"]
    assert "accepted_as_usual" not in merged(
        {**stored, "accepted_as_usual": ["relief_trap"]}, {"relief_trap": "yes"}
    )


@pytest.mark.parametrize("given", [True, 5, 1.5, {"a": 1}, ["60"], {"could_not_measure": 7}])
def test_a_script_s_answer_of_the_wrong_kind_is_refused(given: Any) -> None:
    if given == 5:
        assert read_one("house_pressure_psi", given) == "5"
        return
    with pytest.raises(BadAnswer) as refused:
        read_one("house_pressure_psi", given)
    assert refused.value.key == "house_pressure_psi"


@pytest.mark.parametrize("name", ["nonsense", "accepted_as_usual", "acceptances", "__class__"])
def test_only_questions_of_the_form_are_taken_from_a_script(name: str) -> None:
    with pytest.raises(BadAnswer):
        read_one(name, "x")


def test_a_place_is_one_that_comes_with_the_program_and_is_stored_resolved() -> None:
    assert read_one("place", "us_ca") == "us_ca_2022"
    with pytest.raises(BadAnswer):
        read_one("place", "atlantis")
