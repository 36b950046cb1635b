"""What a page says beside its fields: counts, verdicts under fields, what stops first, no markup from a person."""

from __future__ import annotations

import json
from html.parser import HTMLParser
from pathlib import Path
from typing import Any

import pytest

from heaterapp.rules import CATALOGUE, SECTIONS, Job, assess
from heaterapp.rules.catalog import figure_contracts
from heaterapp.rules.report import TOPICS, Verdict
from heaterapp.sheet import words
from heaterapp.sheet.findings import blocks, findings_html, measure, section_of, value_of
from heaterapp.sheet.live import live, tally
from heaterapp.sheet.marks import mark, verdict_html

JOBS = Path(__file__).parent / "jobs"
GAS: dict[str, Any] = {"heater_kind": "gas_storage", "job_kind": "same_place", "place": "model_upc_2024"}
VOID = {"circle", "rect", "path", "br", "line"}


class _Whole(HTMLParser):
    """Fails on markup that is not closed in order, on script, on style and on handlers."""

    def __init__(self) -> None:
        super().__init__()
        self.open: list[str] = []
        self.said: list[str] = []

    def handle_starttag(self, tag: str, attrs: list[tuple[str, str | None]]) -> None:
        assert tag not in ("script", "style", "img"), tag
        for name, _ in attrs:
            assert name != "style", f"{tag} has a style attribute"
            assert not name.startswith("on"), f"{tag} has {name}"
        if tag not in VOID:
            self.open.append(tag)

    def handle_endtag(self, tag: str) -> None:
        if tag not in VOID:
            assert self.open.pop() == tag

    def handle_data(self, data: str) -> None:
        self.said.append(data)


def _text(html: str) -> str:
    reader = _Whole()
    reader.feed(html)
    reader.close()
    assert reader.open == []
    return " ".join(" ".join(reader.said).split())


def _job(name: str) -> dict[str, Any]:
    return Job(json.loads((JOBS / name).read_text(encoding="utf-8"))["answers"]).canonical()


def _live(answers: dict[str, Any]) -> dict[str, Any]:
    return live(answers, assess(answers).as_json())


@pytest.mark.parametrize("name", sorted(p.name for p in JOBS.glob("*.json")))
def test_every_piece_of_a_whole_job_is_whole_markup(name: str) -> None:
    told = _live(_job(name))
    for html in (*told["sections"].values(), *told["said"].values(), told["hazard"]):
        _text(html)


def test_a_person_s_words_are_never_markup() -> None:
    nasty = '"><script>x</script>'
    answers = {
        **GAS,
        "house_pressure_psi": {"could_not_measure": nasty},
        "owner_name": nasty,
        "expansion_device": "tank",
    }
    told = _live(answers)
    assert any(nasty in _text(html) for html in told["sections"].values())


def test_the_counts_are_the_report_s() -> None:
    answers = _job("gas_storage_to_fix.json")
    report = assess(answers).as_json()
    told = live(answers, report)
    rules = [f for f in report["findings"] if f["kind"] == "rule"]
    assert told["counts"]["meets"] == sum(f["verdict"] == "meets" for f in rules)
    assert told["counts"]["fix"] == sum(f["verdict"] == "fails" for f in rules) > 0
    assert told["counts"]["answer"] == 0
    found = tally(report, told["todo"]).values()
    assert sum(t["fix"] for t in found) == told["counts"]["fix"]
    assert sum(t["meets"] for t in found) == told["counts"]["meets"]


def test_an_accepted_failure_blocks_no_more_and_says_who_accepted_it() -> None:
    answers = _job("gas_storage_to_fix.json")
    counted = _live(answers)["counts"]
    before = counted["fix"]
    taken = {
        "expansion.tank_supported": {"by": "Inspector Vance", "on": "2026-11-25", "why": "bracket on order"}
    }
    told = _live({**answers, "acceptances": taken})
    assert told["counts"]["fix"] == before - 1
    assert (told["counts"]["open"], told["counts"]["accepted"]) == (counted["open"], counted["accepted"] + 1)
    said = _text(told["sections"]["water"])
    assert "Accepted by the authority" in said
    assert "Inspector Vance, 25 Nov 2026: bracket on order" in said


def test_what_blocks_stands_before_what_is_left_to_others_and_what_meets() -> None:
    def one(verdict: Verdict, **more: Any) -> dict[str, Any]:
        base = {"check": "relief.x", "topic": "relief", "kind": "rule", "title": f"title {verdict}.", "found": None, "limit": None,
                "unit": "", "why": f"why {verdict}", "fix": f"fix {verdict}", "book": "B", "section": "1", "confidence": "read", "questions": []}  # fmt: skip
        return {**base, "verdict": verdict, **more}

    said = _text(
        findings_html(
            [
                one("meets"),
                one("silent"),
                one("authority"),
                one("fails"),
                one("fails", hazard=True, why="grave"),
                one("error"),
            ]
        )
    )
    places = [
        said.index(words_)
        for words_ in ("grave", "why fails", "why authority", "title meets", "Relief valve: x. why silent")
    ]
    assert places == sorted(places)
    assert said.index("why error") < said.index("why authority")
    assert "title silent" not in said
    assert "Fix fails" in said
    assert "fix meets" not in said.lower().replace("fix fails", "")
    assert blocks(one("fails"))
    assert not blocks(one("fails", kind="advice"))


def test_a_hazard_says_stop_and_asks_what_was_done() -> None:
    told = _live({**GAS, "gas_leak_test": "failed"})
    assert _text(told["hazard"]).startswith("Stop. Do not leave this heater running.")
    assert "Say what was done about it" in told["hazard"]
    assert _text(told["hazard"]).count("Do not leave this heater running") == 1
    done = _live({**GAS, "gas_leak_test": "failed", "hazard_found": "gas_leak", "hazard_action": "shut_off"})
    assert "Recorded: Heater shut off and tagged." in _text(done["hazard"])
    assert "In your words" not in done["hazard"]
    worded = _live({**GAS, "hazard_found": "other", "hazard_words": "Joint <rusted> through."})
    assert "In your words: Joint <rusted> through. Say what was done about it" in _text(worded["hazard"])
    assert _live(GAS)["hazard"] == ""


def test_a_verdict_stands_under_the_field_measured_last() -> None:
    told = _live({**GAS, "house_pressure_psi": "85", "drew_water_before_reading": "yes"})
    assert "limit 80 psi" in _text(told["said"]["house_pressure_psi"])


def test_what_was_accepted_as_usual_says_so_under_its_field() -> None:
    answers = {**GAS, "relief_fitted": "yes", "relief_trap": "no", "accepted_as_usual": ["relief_trap"]}
    assert "Accepted as usual, not measured" in _live(answers)["said"]["relief_trap"]


def test_a_section_s_page_works_out_that_section_only() -> None:
    answers = _job("gas_storage_us_ca.json")
    told = live(answers, assess(answers).as_json(), ("water",))
    assert list(told["sections"]) == ["water"]
    assert {CATALOGUE[q].section for q in told["said"]} == {"water"}


def test_questions_are_asked_only_where_they_apply() -> None:
    electric = _live({**GAS, "heater_kind": "electric_storage"})["asked"]
    assert not any(
        electric[q.name] for q in CATALOGUE.values() if q.section in ("vent", "gas") and q.when.names
    )
    gas = _live(GAS)["asked"]
    assert gas["vent_kind"]
    assert not gas["wire_awg"]
    assert not gas["prv_setting_psi"]
    assert not gas["listed_for_outdoors"]
    assert _live({**GAS, "prv_fitted": "yes"})["asked"]["prv_setting_psi"]
    assert _live({**GAS, "room": "outdoors"})["asked"]["listed_for_outdoors"]


def test_what_may_stay_empty_is_told_apart_and_a_measured_default_never_hides() -> None:
    told = _live(GAS)
    assert "hot_shutoff_fitted" in told["spare"]
    assert "relief_fitted" not in told["spare"]
    assert "tank_base_in" not in told["spare"]
    assert "owner_name" not in told["spare"]
    assert "job_ref" in told["spare"]


@pytest.mark.parametrize(
    ("value", "unit", "read"),
    [("14.375", "in", "14 3/8 in"), ("40000", "Btu/h", "40,000 Btu/h"), ("120", "degF", "120 °F"), ("3", "count", "3"), (None, "psi", ""), ("roof", "", "roof")],
)  # fmt: skip
def test_values_read_as_the_trade_reads_them(value: str | None, unit: str, read: str) -> None:
    assert measure(value, unit) == read


def test_a_band_reads_from_to() -> None:
    assert value_of({"value": ["34.5", "58.33"], "unit": "in", "taped": "34 1/2 to 58 1/4"}) == "34 1/2 to 58 1/4 in"
    assert value_of({"value": None, "unit": "gal"}) == ""


@pytest.mark.parametrize("verdict", list(words.VERDICTS))
def test_every_verdict_has_a_mark_of_its_own_and_a_word_in_both_languages(verdict: str) -> None:
    others = {mark(v).partition(">")[2] for v in words.VERDICTS if v != verdict}
    assert mark(verdict).partition(">")[2] not in others
    assert words.VERDICTS[verdict].en in verdict_html(verdict)
    assert words.VERDICTS[verdict].es in verdict_html(verdict, "es")


def test_every_section_topic_and_figure_has_its_words() -> None:
    assert set(words.SECTIONS) == set(SECTIONS)
    assert {s: w.en for s, w in words.SECTIONS.items()} == SECTIONS
    assert set(words.TOPICS) == set(TOPICS) == set(words.HOME_SECTION)
    assert set(figure_contracts()) <= set(words.FIGURES)


def _all_words() -> list[words.Words]:
    found: list[words.Words] = []
    for value in vars(words).values():
        many = value.values() if isinstance(value, dict) else [value]
        for one in many:
            found += [w for w in (one if type(one) is tuple else [one]) if isinstance(w, words.Words)]
    return found


def test_everything_is_said_in_both_languages() -> None:
    found = _all_words()
    assert len(found) > 80
    for one in found:
        assert one.en.strip() == one.en != "", one
        assert one.es.strip() == one.es != "", one
        assert one.of("en") == one.en
        assert one.of("es") == one.es
    same = [one.en for one in found if one.en == one.es]
    assert same == [one.en for one in found if one.en == "Gas"]


@pytest.mark.parametrize("name", sorted(figure_contracts()))
def test_a_figure_s_words_are_not_its_name(name: str) -> None:
    words_ = words.figure_words(name)
    assert "_" not in words_.en
    assert words.figure_section(name) in SECTIONS


def test_every_finding_stands_in_a_section_that_its_heater_is_shown() -> None:
    for name in ("gas_storage_us_ca.json", "electric_storage_irc.json"):
        answers = _job(name)
        told = _live(answers)
        open_ = {q.section for q in CATALOGUE.values() if told["asked"][q.name]}
        for finding in assess(answers).as_json()["findings"]:
            if finding["verdict"] not in ("not_applicable", "silent"):
                assert section_of(finding) in open_, finding["check"]


def test_a_verdict_that_waits_for_what_is_not_asked_sends_back_to_what_rules_it_out() -> None:
    answers = json.loads((JOBS / "gas_storage_us_ca.json").read_text())["answers"]
    report = assess(answers).as_json()
    waiting = next(one for one in report["findings"] if one["check"] == "venting.capacity")
    waiting |= {"verdict": "unanswered", "missing": ["other_connector_diameter_in"]}
    assert answers["vent_shared"] == "no"
    told = live(answers, report)
    assert told["todo"] == ["vent_shared"]
    assert told["outcome_words"] == "Something to answer"


def test_a_plate_without_least_circuit_amperes_leaves_nothing_to_answer() -> None:
    plate = {"heater_kind": "electric_instantaneous", "volts": 240, "input_kw": 24, "input_kw_at_volts": 240}
    answers = {**GAS, **plate, "breaker_a": 60, "breaker_marked_max_a": 60}
    assert "minimum_circuit_a" in _live(answers)["todo"]
    told = _live({**answers, "minimum_circuit_a": "not_here"})
    assert "minimum_circuit_a" not in told["todo"]
    read = _live({**answers, "minimum_circuit_a": 40})
    assert "minimum_circuit_a" not in read["todo"]


def test_a_valves_verdict_stands_with_the_pressure_and_not_with_the_tank_that_its_fix_names() -> None:
    answers = json.loads((JOBS / "gas_storage_us_ca.json").read_text())["answers"]
    under = live(answers, assess(answers).as_json(), ("water",))["said"]
    assert "pressure reducing valve is fitted where" in under["street_pressure_psi"]
    assert "has thermal expansion control" in under["expansion_device"]


def test_the_end_of_the_relief_pipe_is_never_told_under_the_pan() -> None:
    """A pipe that ends over a pan reads the pan too; its verdict stands with the pipe all the same."""
    jobs = [json.loads(path.read_text())["answers"] for path in sorted(JOBS.glob("*.json"))]
    told = 0
    for answers in jobs:
        report = assess(answers).as_json()
        for name, html in live(answers, report, ("relief",))["said"].items():
            told += name.startswith("relief_") and "The relief pipe ends where it may." in html
            assert not (name.startswith("pan_") and "The relief pipe" in html), name
    assert told
