"""What the engine does by itself, shown with real checks: no answer is invented, no fault is hidden."""

from __future__ import annotations

import sys
from dataclasses import replace
from decimal import Decimal
from pathlib import Path
from types import SimpleNamespace
from typing import Any

import pytest

sys.path.insert(0, str(Path(__file__).parent))

from judging import PLACES, judged, report_of, whole_job

from heaterapp.rules import BadAnswer, Job, assess, catalog
from heaterapp.rules.report import meets
from heaterapp.rules.units import BtuPerHour
from heaterapp.rules.when import ALWAYS

# What is known decides


def test_a_known_answer_that_rules_a_check_out_decides_though_all_else_is_open() -> None:
    assert judged("venting.no_spillage", heater_kind="electric_storage")["verdict"] == "not_applicable"
    assert judged("relief.pipe_falls", relief_fitted="no")["verdict"] == "not_applicable"
    assert judged("expansion.peak_as_set", expansion_device="none")["verdict"] == "not_applicable"


def test_while_it_cannot_be_told_whether_a_check_applies_the_finding_names_what_would_tell() -> None:
    finding = judged("venting.draft_hood_clearance")
    assert finding["verdict"] == "unanswered"
    assert set(finding["missing"]) == {"draft_hood_clearance_in", "heater_kind", "draft_kind"}
    finding = judged("venting.draft_hood_clearance", heater_kind="gas_storage", draft_kind="draft_hood")
    assert finding["missing"] == ["draft_hood_clearance_in"]
    finding = judged("venting.no_spillage", heater_kind="gas_storage", draft_kind="draft_hood")
    assert finding["missing"] == ["spillage_after_5min"]


def test_a_missing_answer_behind_a_figure_is_named_by_its_question() -> None:
    known = {
        "heater_kind": "gas_storage", "expansion_device": "tank", "relief_pressure_psi": 150, "relief_fitted": "yes", "expansion_tank_gal": 2, "thermostat_f": 120,
        "precharge_psi": 60, "house_pressure_psi": 60,
    }  # fmt: skip
    finding = judged("expansion.peak_as_set", **known)
    assert finding["verdict"] == "unanswered"
    assert finding["missing"] == ["storage_gal"]
    assert "Storage capacity" in finding["why"]
    assert judged("expansion.peak_as_set", storage_gal=40, **known)["verdict"] == "meets"


@pytest.mark.parametrize(
    ("check", "answers"),
    [
        ("relief.pipe_falls", {"relief_fitted": "yes", "relief_end": "outdoors", "relief_falls_all_the_way": "unknown"}),
        ("gas.leak_test", {"heater_kind": "gas_storage", "gas_leak_test": "not_done"}),
        ("venting.no_spillage", {"heater_kind": "gas_storage", "draft_kind": "draft_hood", "spillage_after_5min": "not_tested"}),
    ],
)  # fmt: skip
def test_unknown_and_not_done_are_no_answers(check: str, answers: dict[str, Any]) -> None:
    finding = judged(check, **answers)
    assert finding["verdict"] == "unanswered"
    assert finding["missing"] == [list(answers)[-1]]


def test_what_could_not_be_measured_is_left_to_the_authority_with_the_reason() -> None:
    finding = judged(
        "supply.pressure_within_limit", house_pressure_psi={"could_not_measure": "gauge was broken"}
    )
    assert finding["verdict"] == "authority"
    assert "gauge was broken" in finding["why"]
    assert "House pressure" in finding["why"]


def test_one_answer_still_open_keeps_it_unanswered_though_another_could_not_be_measured() -> None:
    answers = {
        "heater_kind": "gas_storage",
        "heater_clearance_in": {"could_not_measure": "boxed in"},
    }
    finding = judged("place.heater_clearance", **answers)
    assert (finding["verdict"], finding["missing"]) == ("unanswered", ["heater_marked_clearance_in"])
    assert judged("place.heater_clearance", **answers, heater_marked_clearance_in=1)["verdict"] == "authority"


@pytest.mark.parametrize(
    ("check", "question", "answers"),
    [
        ("relief.pressure_setting", "relief_pressure_psi", {"relief_fitted": "yes"}),
        ("relief.pipe_full_size", "relief_pipe_in", {"relief_fitted": "yes", "relief_end": "outdoors", "relief_outlet_in": "3/4"}),
        ("gas.leak_test", "gas_leak_test", {"heater_kind": "gas_storage"}),
        ("venting.no_spillage", "spillage_after_5min", {"heater_kind": "gas_storage", "draft_kind": "draft_hood"}),
    ],
)  # fmt: skip
def test_relief_valve_gas_leak_and_spillage_must_be_measured(
    check: str, question: str, answers: dict[str, Any]
) -> None:
    finding = judged(check, **answers, **{question: {"could_not_measure": "no time"}})
    assert finding["verdict"] == "unanswered"
    assert question in finding["missing"]


@pytest.mark.parametrize("test", ["spillage_after_5min", "gas_leak_test", "relief_lever_tested", "pressure_rises_on_heating"])  # fmt: skip
def test_a_test_cannot_be_not_here(test: str) -> None:
    with pytest.raises(BadAnswer, match=rf"^{test}: expected a test's result"):
        Job({test: "not_here"})


def test_a_part_that_is_not_here_is_not_faulted() -> None:
    sealed = {
        "heater_kind": "gas_storage", "vent_kind": "plastic", "vent_end": "wall", "draft_kind": "power_vent", "input_btuh": 40000, "vent_category": "IV",
        "wall_terminal_above_grade_in": 12, "wall_terminal_below_opening_in": "not_here", "wall_terminal_beside_opening_in": "not_here",
        "wall_terminal_above_opening_in": "not_here", "wall_terminal_over_walkway": "not_here", "wall_terminal_beside_walkway_height_in": "not_here",
        "neighbour_opening_ft": "not_here",
    }  # fmt: skip
    assert judged("venting.wall_terminal", **sealed)["verdict"] == "meets"
    assert (
        judged("relief.valve_fitted", heater_kind="gas_storage", relief_fitted="not_here")["verdict"]
        == "fails"
    )
    assert (
        judged("pan.material", heater_kind="gas_storage", pan_fitted="not_here")["verdict"]
        == "not_applicable"
    )


def test_a_book_that_does_not_state_a_matter_is_silent_and_cites_nothing() -> None:
    end = {"relief_fitted": "yes", "relief_end": "outdoors", "relief_end_visible": "no"}
    finding = judged("relief.end_visible", **end)
    assert finding["verdict"] == "silent"
    assert finding["why"] == "The book does not ask that the end be seen."
    assert (finding["book"], finding["section"]) == ("", "")
    finding = judged("relief.end_visible", place="model_irc_2021", **end)
    assert (finding["verdict"], finding["section"]) == ("fails", "P2804.6.1")


# How sure the clause is, and whose work it was


def test_a_clause_from_memory_never_fails_a_job() -> None:
    finding = judged("place.condensate", heater_kind="gas_storage", condensing="yes", condensate_end="none")
    assert finding["confidence"] == "memory"
    assert finding["verdict"] == "authority"
    assert "from memory" in finding["why"]


def test_a_failure_on_a_carried_clause_says_where_it_was_read_and_what_to_do() -> None:
    old = {"relief_fitted": "yes", "relief_pressure_psi": 151}
    finding = judged("relief.pressure_setting", **old)
    assert (finding["verdict"], finding["confidence"]) == ("fails", "carried")
    assert finding["why"].endswith("(Read in: UPC 2012. Confirm in the adopted edition.)")
    assert (
        "Confirm"
        not in judged("relief.pressure_setting", relief_fitted="yes", relief_pressure_psi=150)["why"]
    )


def test_on_somebody_else_s_installation_what_differs_goes_to_the_authority() -> None:
    low = {"house_pressure_psi": 60, "expansion_device": "tank", "precharge_psi": 40}
    assert judged("expansion.precharge_matches_house", **low)["verdict"] == "fails"
    finding = judged("expansion.precharge_matches_house", job_kind="existing", **low)
    assert finding["verdict"] == "authority"
    assert finding["why"].startswith("Differs from the present book: ")


@pytest.mark.parametrize(
    ("check", "answers"),
    [
        ("relief.valve_fitted", {"relief_fitted": "no"}),
        ("relief.not_plugged", {"relief_fitted": "yes", "relief_end": "capped"}),
        ("relief.no_valve_before_it", {"relief_fitted": "yes", "valve_between_relief_and_tank": "yes"}),
        ("relief.pipe_no_valve", {"relief_fitted": "yes", "relief_end": "outdoors", "relief_valve_in_line": "yes"}),
        ("venting.no_spillage", {"draft_kind": "draft_hood", "spillage_after_5min": "seen"}),
        ("venting.vented", {"vent_kind": "none"}),
        ("gas.leak_test", {"gas_leak_test": "failed"}),
        ("gas.fuel_matches", {"gas_kind": "propane", "heater_marked_gas": "natural", "conversion_kit_fitted": "no"}),
        ("heater.no_hazard_left", {"hazard_found": "scorch"}),
    ],
)  # fmt: skip
@pytest.mark.parametrize("place", PLACES)
def test_hazards_fail_on_any_installation_and_are_marked(
    check: str, answers: dict[str, Any], place: str
) -> None:
    for job_kind in ("existing", "same_place"):
        finding = judged(check, place=place, heater_kind="gas_storage", job_kind=job_kind, **answers)
        assert finding["verdict"] == "fails", place
        assert finding["hazard"] is True
        said = finding["why"] + finding["fix"]
        assert "stop" in said.lower(), said


def test_california_straps_bind_what_was_there_before_and_no_other_place_s_do() -> None:
    bare = {"heater_kind": "gas_storage", "strap_kind": "none", "job_kind": "existing"}
    home = {**bare, "building_kind": "house"}
    assert judged("seismic.strapped_where_needed", place="us_ca_2022", **home)["verdict"] == "fails"
    assert judged("seismic.strapped_where_needed", **home)["verdict"] == "authority"
    shop = {**bare, "building_kind": "business"}
    assert judged("seismic.strapped_where_needed", place="us_ca_2022", **shop)["verdict"] == "authority"


def test_an_acceptance_is_printed_and_no_longer_blocks() -> None:
    whole = {**whole_job(), "precharge_psi": 40}
    check = "expansion.precharge_matches_house"
    assert assess(whole).outcome == "fix"
    accepted = {"by": "R. Moss, Port Larkin", "on": "2026-11-20", "why": "letter 14"}
    report = assess({**whole, "acceptances": {check: accepted}})
    assert report.outcome == "ready"
    finding = next(f for f in report.as_json()["findings"] if f["check"] == check and f["kind"] == "rule")
    assert finding["verdict"] == "fails"
    assert finding["accepted"] == accepted


def test_an_acceptance_covers_its_own_check_only_and_nothing_that_is_open() -> None:
    accepted = {"by": "R. Moss", "on": "2026-11-20", "why": "letter 14"}
    every = {one.name: accepted for one in catalog.all_checks()}
    report = assess({**whole_job(), "precharge_psi": 40, "acceptances": {"seismic.strap_count": accepted}})
    assert report.outcome == "fix"
    opened = {k: v for k, v in whole_job().items() if k != "gas_leak_test"}
    assert assess({**opened, "acceptances": every}).outcome == "unfinished"


def test_a_clause_that_the_place_lacks_is_never_cited_by_another_one_s_number(
    monkeypatch: pytest.MonkeyPatch,
) -> None:
    check = next(one for one in catalog.all_checks() if one.name == "supply.pressure_within_limit")
    astray = replace(check, run=lambda **_: meets("Fine.", clause="supply.nowhere"))
    monkeypatch.setattr("heaterapp.rules.engine.all_checks", lambda: (astray,))
    (finding,) = report_of(house_pressure_psi=60)["findings"]
    assert finding["verdict"] == "error"
    assert "supply.nowhere" in finding["why"]
    assert "model_upc_2021" in finding["why"]


def test_a_folder_of_checks_that_is_no_topic_is_refused_by_name() -> None:
    module: Any = SimpleNamespace(__name__="heaterapp.rules.checks.plumbing.loose")
    with pytest.raises(TypeError, match="checks/plumbing is no topic"):
        catalog._check("plumbing", module, module)


@pytest.mark.parametrize("astray", ["HAZZARD", "MUST_MESURE", "WHEN_GAS", "CLAUSE"])
def test_a_constant_of_a_check_that_nothing_reads_is_refused_by_name(astray: str) -> None:
    module: Any = SimpleNamespace(__name__="heaterapp.rules.checks.gas.loose", CLAUSES=(), STORAGE=1, **{astray: True})
    with pytest.raises(TypeError, match=f"checks.gas.loose: nothing reads {astray}$"):
        catalog._check("gas", module, module)


@pytest.mark.parametrize("check", [one for one in catalog.all_checks() if one.hazard], ids=lambda one: one.name)
def test_a_hazard_is_never_left_to_the_authority_because_nobody_looked(check: Any) -> None:
    assert check.must_measure


def test_an_argument_with_a_default_of_its_own_is_refused() -> None:
    """What is not answered comes as None, so that a 0 standing there would never be used."""

    def check(input_btuh: BtuPerHour = Decimal(0)) -> None:
        del input_btuh

    with pytest.raises(TypeError, match="input_btuh has a default that is never used"):
        catalog.contract(check, (), ALWAYS, frozenset())
