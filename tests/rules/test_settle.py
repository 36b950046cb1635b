"""What the authority may accept, and what nobody may."""

from __future__ import annotations

import json
from pathlib import Path
from typing import Any

import pytest

from heaterapp.rules import BadAnswer, Job, assess, catalog, mark_of

ACCEPTED = {"by": "R. Moss", "on": "2026-11-20", "why": "letter 14"}
JOB = Path(__file__).parent.parent / "jobs" / "gas_storage_us_ca.json"
DANGERS = {
    "heater.no_hazard_left": {"hazard_found": "co"},
    "relief.not_plugged": {"relief_end": "capped"},
    "relief.valve_fitted": {"relief_fitted": "no"},
    "relief.no_valve_before_it": {"valve_between_relief_and_tank": "yes"},
    "relief.pipe_no_valve": {"relief_valve_in_line": "yes"},
    "gas.fuel_matches": {"heater_marked_gas": "propane", "conversion_kit_fitted": "no"},
    "gas.leak_test": {"gas_leak_test": "failed"},
    "venting.no_spillage": {"spillage_after_5min": "seen"},
    "venting.no_spillage_seen": {"draft_kind": "fan_assisted", "spillage_after_5min": "seen"},
    "venting.vented": {"vent_kind": "none"},
}


def _judged(**changes: Any) -> Any:
    every = {one.name: ACCEPTED for one in catalog.all_checks()}
    return assess({**json.loads(JOB.read_text(encoding="utf-8"))["answers"], **changes, "acceptances": every})


def test_every_hazard_is_tried_here() -> None:
    assert set(DANGERS) == {one.name for one in catalog.all_checks() if one.hazard}


@pytest.mark.parametrize("check", sorted(DANGERS))
def test_a_hazard_that_fails_is_nobody_s_to_accept(check: str) -> None:
    report = _judged(**DANGERS[check])
    finding = next(one for one in report.findings if one.check == check)
    assert (finding.verdict, finding.hazard, finding.accepted) == ("fails", True, None)
    assert report.outcome == "fix"


def test_what_is_no_hazard_can_be_accepted() -> None:
    report = _judged(precharge_psi=52)
    failed = {
        one.check: one.accepted for one in report.findings if one.verdict == "fails" and one.kind == "rule"
    }
    assert failed == {"expansion.precharge_matches_house": ACCEPTED}
    assert report.outcome == "ready"


def _precharge(psi: int, **given: str) -> Any:
    whole = json.loads(JOB.read_text(encoding="utf-8"))["answers"]
    check = "expansion.precharge_matches_house"
    report = assess({**whole, "precharge_psi": psi, "acceptances": {check: {**ACCEPTED, **given}}})
    return next(one for one in report.findings if one.check == check and one.kind == "rule"), report.outcome


def test_an_acceptance_holds_for_the_value_it_was_given_for_and_no_other() -> None:
    seen, _ = _precharge(52)
    given = {"verdict": "fails", "found": seen.found}
    kept, outcome = _precharge(52, **given)
    assert (kept.accepted, outcome) == ({**ACCEPTED, **given}, "ready")
    lapsed, outcome = _precharge(5, **given)
    assert (lapsed.verdict, lapsed.accepted, outcome) == ("fails", None, "fix")
    lapsed, _ = _precharge(52, **{**given, "verdict": "authority"})
    assert lapsed.accepted is None


def test_an_acceptance_of_one_shortfall_does_not_cover_a_greater_one_that_is_found_alike() -> None:
    whole = json.loads((JOB.parent / "gas_storage_power_vent_irc_2021.json").read_text(encoding="utf-8"))["answers"]
    check = "venting.wall_terminal"
    near = {"wall_terminal_beside_opening_in": 47, "wall_terminal_below_opening_in": 48, "wall_terminal_above_opening_in": 12,
            "wall_terminal_above_grade_in": 12, "snow_depth_in": 0}  # fmt: skip

    def judged(**changes: Any) -> Any:
        report = assess({**whole, **near, **changes})
        return next(one for one in report.findings if one.check == check and one.kind == "rule")

    seen = judged()
    assert (seen.verdict, seen.found) == ("fails", "short")
    given = {check: {**ACCEPTED, "verdict": "fails", "found": "short", "of": mark_of(seen.as_json())}}
    assert judged(acceptances=given).accepted == given[check]
    worse = judged(acceptances=given, wall_terminal_below_opening_in=1, wall_terminal_above_grade_in=0)
    assert (worse.verdict, worse.found, worse.accepted) == ("fails", "short", None)


@pytest.mark.parametrize("odd", [{"verdict": 3}, {"found": "x" * 201}, {"whom": "me"}, {"why": " "}])
def test_an_acceptance_with_odd_words_is_refused(odd: dict[str, Any]) -> None:
    with pytest.raises(BadAnswer, match=r"^acceptances"):
        Job({"acceptances": {"pan.depth": {**ACCEPTED, **odd}}})
