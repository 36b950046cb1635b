"""One tap on As usual never makes a danger look smaller: not by the program's presets, nor by a firm's."""

from __future__ import annotations

import json
import random
from functools import lru_cache
from pathlib import Path
from typing import Any

import pytest

from heaterapp.filling import usual
from heaterapp.rules import CATALOGUE, SECTIONS
from heaterapp.rules.catalog import all_checks
from tests import alone

JOBS = Path(__file__).parent / "jobs"
SPILLAGE = ("venting.no_spillage", "venting.no_spillage_seen")
TESTED: tuple[Any, ...] = (None, "none", "seen", "not_tested", "unknown", {"could_not_measure": "no smoke"})
KEPT_BACK = ("fails", "unanswered", "error")
HAZARDS = tuple(check.name for check in all_checks() if check.hazard)


def _dangers(answers: dict[str, Any]) -> dict[str, str]:
    return alone.verdicts_of(answers, HAZARDS)


@lru_cache(maxsize=1)
def _whole() -> dict[str, dict[str, Any]]:
    read = {
        one.stem: json.loads(one.read_text(encoding="utf-8"))["answers"]
        for one in sorted(JOBS.glob("*.json"))
    }
    for answers in read.values():
        answers.pop("accepted_as_usual", None)
    return read


def _tapped(answers: dict[str, Any], own: Any = None) -> dict[str, Any]:
    for section in SECTIONS:
        answers = {**answers, **usual.filled(section, answers, own)}
    return answers


GAS_TANKS = sorted(name for name, answers in _whole().items() if answers["heater_kind"] == "gas_storage")


def _keeps_back(name: str, draft: str, tested: Any) -> set[str]:
    """The dangers that still keep this job from its certificate if its draft is this one."""
    answers = {**_whole()[name], "draft_kind": draft, "spillage_after_5min": tested}
    return {check for check, verdict in _dangers(answers).items() if verdict in KEPT_BACK}


@pytest.mark.parametrize("name", GAS_TANKS)
@pytest.mark.parametrize("tested", TESTED, ids=str)
def test_no_other_draft_asks_for_more_than_the_one_that_the_program_fills_in(name: str, tested: Any) -> None:
    filled, _ = usual.USUAL["draft_kind"]
    under = {draft: _keeps_back(name, draft, tested) for draft in CATALOGUE["draft_kind"].choices}
    others = [found for draft, found in under.items() if draft != filled]
    for found in others:
        assert found - set(SPILLAGE) == under[filled] - set(SPILLAGE)
        assert bool(found & set(SPILLAGE)) <= bool(under[filled] & set(SPILLAGE))
    if tested != "none":
        assert under[filled] & set(SPILLAGE), "without a test that was passed the danger stays open"
        assert not under["power_vent"] & set(SPILLAGE), "and another draft would have hidden it"


@pytest.mark.parametrize(
    "own", [None, {"draft_kind": "power_vent"}, {"draft_kind": "fan_assisted"}, {"draft_kind": ""}], ids=str
)
@pytest.mark.parametrize("tested", TESTED, ids=str)
def test_a_firm_cannot_switch_the_spillage_test_off(own: Any, tested: Any) -> None:
    before = {k: v for k, v in _whole()["gas_storage_us_ca"].items() if k not in usual.USUAL}
    before["spillage_after_5min"] = tested
    after = _tapped(before, own)
    assert after["draft_kind"] == "draft_hood"
    wanted = {"none": "meets", "seen": "fails"}.get(tested if isinstance(tested, str) else "", "unanswered")
    assert _dangers(after)["venting.no_spillage"] == wanted


def _other_presets(dice: random.Random) -> dict[str, str]:
    """Presets of a firm at random, those included that no firm may have."""
    own = {}
    for name in sorted({*usual.USUAL, *usual.FURTHER, *usual.read_for_danger()}):
        question = CATALOGUE[name]
        words = list(question.choices) if question.kind == "choice" else ["yes", "no"]
        words = list(question.usual) if question.kind == "number" else words
        own[name] = dice.choice([usual.NOT_FILLED, *words])
    return own


def test_no_preset_but_the_draft_changes_what_a_check_for_danger_says() -> None:
    dice = random.Random("20261126")
    for at, answers in enumerate(_whole().values()):
        # What was answered stays, the draft with it; about half of the rest is open.
        kept = {"draft_kind", "place", "heater_kind", "job_kind"}
        before = {k: v for k, v in answers.items() if k in kept or dice.random() < 0.5}
        after = _tapped(before, _other_presets(dice) if at % 2 else None)
        assert after.keys() > before.keys()
        assert _dangers(after) == _dangers(before)
