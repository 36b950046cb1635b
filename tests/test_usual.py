"""As usual: never what must be measured, never what a life-safety check reads, always marked."""

from __future__ import annotations

import json
from pathlib import Path
from typing import Any

import pytest

from heaterapp.filling import usual
from heaterapp.filling.typed import shown
from heaterapp.rules import CATALOGUE, SECTIONS, BadAnswer, Job, assess
from heaterapp.rules.catalog import all_checks
from heaterapp.rules.reading import read_answer
from heaterapp.sheet.live import asked

GAS: dict[str, Any] = {"heater_kind": "gas_storage", "job_kind": "same_place", "place": "us_ca_2022"}
JOBS = Path(__file__).parent / "jobs"


def _offered(section: str, answers: dict[str, Any]) -> dict[str, str]:
    job = Job(answers)
    return usual.offered(section, job, *asked(job, assess(job).as_json()))


@pytest.mark.parametrize("name", sorted(usual.USUAL))
def test_a_usual_answer_can_be_stored_and_is_never_a_measurement(name: str) -> None:
    value, _ = usual.USUAL[name]
    question = CATALOGUE[name]
    if value == "not_here":
        assert question.may_be_absent
    else:
        read_answer(question, value)
    assert not question.measured
    assert Job({name: value, "accepted_as_usual": [name]}).accepted_as_usual == (name,)
    assert usual.words(name, value)


def test_nothing_that_a_check_for_danger_hangs_on_is_a_firm_s_and_one_alone_is_the_program_s() -> None:
    read = {name for check in all_checks() if check.hazard for name in check.questions}
    assert {"relief_fitted", "gas_leak_test", "draft_kind"} <= read <= usual.read_for_danger()
    asked_by = {name for one in read for name in (*CATALOGUE[one].when.names, *CATALOGUE[one].absent.names)}
    assert asked_by <= usual.read_for_danger()
    assert not usual.read_for_danger() & set(usual.may_be_preset())
    assert usual.fixed() == ("draft_kind",)


def test_what_never_comes_from_a_preset() -> None:
    never = {"house_pressure_psi", "precharge_psi", "strap_heights_in", "vent_clearance_in", "connector_clearance_in", "heater_clearance_in",
             "relief_end_height_in", "heater_serial", "gas_leak_test", "spillage_after_5min", "relief_lever_tested"}  # fmt: skip
    assert not never & set(usual.USUAL)


def test_only_what_is_asked_needed_and_open_is_offered() -> None:
    assert _offered("relief", GAS) == {}
    fitted = {**GAS, "relief_fitted": "yes"}
    assert "relief_valve_new" in _offered("relief", fitted)
    assert "relief_valve_new" not in _offered("relief", {**fitted, "relief_valve_new": "no"})
    assert "expansion_tank_rating_psi" not in _offered("water", {**GAS, "expansion_device": "none"})


def test_filling_keeps_every_answer_given_and_names_what_was_accepted() -> None:
    given = {
        **GAS,
        "relief_fitted": "yes",
        "relief_end": "outdoors",
        "relief_trap": "yes",
        "manual_left": "yes",
        "accepted_as_usual": ["manual_left"],
    }
    changes = usual.filled("relief", given)
    accepted = changes.pop("accepted_as_usual")
    assert "relief_trap" not in changes
    assert changes["relief_pipe_material"] == "copper"
    assert accepted == sorted({*changes, "manual_left"})
    assert {CATALOGUE[name].section for name in changes} == {"relief"}
    assert usual.filled("relief", {**given, **changes}) == {}


@pytest.mark.parametrize("section", list(SECTIONS))
def test_as_usual_changes_no_verdict_of_a_job_that_is_usual(section: str) -> None:
    answers = Job(
        json.loads((JOBS / "gas_storage_us_ca.json").read_text(encoding="utf-8"))["answers"]
    ).canonical()
    answers.pop("accepted_as_usual")
    bare = {k: v for k, v in answers.items() if k not in usual.USUAL or CATALOGUE[k].section != section}
    again = {**bare, **usual.filled(section, bare)}
    assert assess(again).outcome == "ready"


def test_a_firm_may_preset_what_no_one_measures_and_no_check_for_danger_reads() -> None:
    # The first is on no form any more: what it says of old jobs is still read.
    assert set(usual.USUAL) - {"relief_factory_fitted", *usual.fixed()} < set(usual.may_be_preset())
    for name in usual.may_be_preset():
        value = usual.USUAL.get(name, ("",))[0]
        seen = shown(CATALOGUE[name], value).get("", value)
        assert not value or usual.read_preset(name, seen) == value, name
    for name in usual.may_be_preset():
        assert not CATALOGUE[name].measured
    for name, given in (("house_pressure_psi", "60"), ("draft_kind", "power_vent")):
        with pytest.raises(BadAnswer, match="may be preset"):
            usual.read_preset(name, given)
    for nothing in ("unknown", "", "2 ft", {"could_not_measure": "dark"}):
        with pytest.raises(BadAnswer):
            usual.read_preset("relief_trap", nothing)


def test_a_firm_s_presets_lie_over_the_program_s_and_what_cannot_be_read_of_them_does_nothing() -> None:
    bad = {"relief_pipe_in": "wide", "relief_fitted": "yes", "flue_colour": "teal", "relief_shared": 7}
    own = {"relief_pipe_material": "cpvc", "relief_trap": usual.NOT_FILLED, "pan_drain_in": "1", **bad}
    now = usual.presets_of(own)
    assert now["relief_pipe_material"] == "cpvc"
    assert now["relief_pipe_in"] == "0.75"
    assert now["relief_shared"] == "no"
    assert not now.keys() & {"relief_trap", "relief_fitted", "flue_colour"}
    given = {**GAS, "relief_fitted": "yes", "relief_end": "outdoors"}
    changes = usual.filled("relief", given, own)
    assert changes["relief_pipe_material"] == "cpvc"
    assert "relief_trap" not in changes
    assert "relief_pipe_material" in changes["accepted_as_usual"]
    assert usual.presets_of("nonsense") == usual.presets_of({}) == {n: v for n, (v, _) in usual.USUAL.items()}
