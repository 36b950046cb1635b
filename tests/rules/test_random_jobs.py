"""Jobs of random answers, the same ones at every run: what must hold of a report whatever was answered.

Forty at each place under WHOLE_GRIDS (tests/grids.py), fewer without; tests/random_jobs.py tries as many as asked.
"""

from __future__ import annotations

import random
from decimal import Decimal, InvalidOperation
from functools import cache
from typing import Any

import pytest

from heaterapp.rules import CATALOGUE, BadAnswer, Finding, Job, Report, assess, place_names
from heaterapp.rules.question import UNDONE, Question
from tests.grids import WHOLE

PLACES = sorted(set(place_names().values()))
NO_ANSWER = {"unknown", "not_here", *UNDONE}
JOBS_A_PLACE = 40 if WHOLE else 14
DRAWS = 5


def _number(question: Question, dice: random.Random) -> str:
    assert question.hard
    low, high = question.soft if question.soft and dice.random() < 0.7 else question.hard
    kind = dice.random()
    if kind < 0.1:
        return str(dice.choice([low, high]))
    if kind < 0.4 and question.usual:
        return dice.choice(question.usual)
    return str(low + (high - low) * dice.randrange(10_001) / 10_000)


def _answer(question: Question, dice: random.Random) -> Any:
    odd = dice.random()
    if odd < 0.1:
        return {"could_not_measure": "out of reach"} if odd < 0.04 else "not_here" if odd < 0.08 else "unknown"
    if question.kind == "yes_no":
        return dice.choice(["yes", "no"])
    if question.kind == "choice":
        return dice.choice(list(question.choices))
    if question.kind == "number":
        return _number(question, dice)
    if question.kind in ("lengths", "two_lengths"):
        return [str(n) for n in sorted(dice.sample(range(90), dice.choice([1, 2, 2, 3])))]
    return None


def _readable(answers: dict[str, Any]) -> dict[str, Any]:
    while True:
        try:
            Job(answers)
            return answers
        except BadAnswer as refused:
            answers = {key: value for key, value in answers.items() if key != refused.key}


def _told(dice: random.Random, place: str) -> dict[str, Any]:
    asked = [one for one in CATALOGUE.values() if one.name != "place" and dice.random() < 0.9]
    given = {one.name: _answer(one, dice) for one in asked}
    return {"place": place, **_readable({key: value for key, value in given.items() if value is not None})}


@cache
def _jobs(place: str) -> list[tuple[dict[str, Any], Report]]:
    dice = random.Random(f"{place} 20261125")
    told = [_told(dice, place) for _ in range(JOBS_A_PLACE)]
    return [(answers, assess(answers)) for answers in told]


def _contradicting(report: Report) -> set[str]:
    return {flag["question"] for flag in report.flags if flag["says"].endswith("Measure again.")}


def _side(finding: Finding) -> int | None:
    """1 where what was found is over the limit, 0 on it, -1 under; None where they are no numbers."""
    try:
        found, limit = Decimal(finding.found or ""), Decimal(finding.limit or "")
    except InvalidOperation:
        return None
    return (found > limit) - (found < limit)


@pytest.mark.parametrize("place", PLACES)
def test_nothing_breaks_and_nothing_wrong_or_open_is_ready(place: str) -> None:
    for answers, report in _jobs(place):
        ruling = [one for one in report.findings if one.kind == "rule"]
        assert not [one.why for one in ruling if one.verdict == "error"], answers
        stops = [one.check for one in ruling if one.verdict in ("fails", "unanswered")]
        accepted = [one.check for one in ruling if one.verdict == "fails" and one.accepted]
        assert (report.outcome == "ready") == (stops == accepted), answers


def test_what_was_found_stands_on_the_side_of_the_limit_that_its_verdict_says() -> None:
    """A check that fails over its limit does not meet over it, nor the other way round, at whatever place."""
    two_sided = {
        # both sides of the target are wrong, and a little on either side is right
        "expansion.precharge_matches_house", "expansion.precharge_air_corrected", "electric.breaker",
        # carries enough for the load, and no less than its breaker
        "electric.conductor",
    }  # fmt: skip
    sides: dict[tuple[str, str], dict[str, set[int]]] = {}
    for one in (one for place in PLACES for _, report in _jobs(place) for one in report.findings):
        side = _side(one)
        if side is not None and one.verdict in ("meets", "fails") and one.check not in two_sided:
            sides.setdefault((one.check, one.kind), {}).setdefault(one.verdict, set()).add(side)
    assert sum(len(by) == 2 for by in sides.values()) > 20, "few checks were seen on both sides"
    for check, by in sides.items():
        assert not by.get("meets", set()) & by.get("fails", set()), f"{check}: {by}"


def _one_more(answers: dict[str, Any], dice: random.Random) -> tuple[str, Any]:
    """A question that is open, and an answer to it; None where only such as say nothing were drawn."""
    for key in dice.sample([k for k in CATALOGUE if k not in answers], DRAWS):
        value = _answer(CATALOGUE[key], dice)
        if isinstance(value, str) and value not in NO_ANSWER and CATALOGUE[key].default is None:
            return key, value
    return "", None


@pytest.mark.parametrize("place", PLACES)
def test_one_more_answer_leaves_no_check_less_answered_but_for_one_it_brings(place: str) -> None:
    dice = random.Random(f"{place} once more")
    tried = 0
    for answers, report in _jobs(place):
        key, value = _one_more(answers, dice)
        if value is None:
            continue
        try:
            more = Job({**answers, key: value})
        except BadAnswer:
            continue
        after = assess(more)
        # two answers that contradict one another are both asked again
        if _contradicting(after) - _contradicting(report):
            continue
        tried += 1
        before = {(one.check, one.kind): one for one in report.findings}
        for one in after.findings:
            was = before.get((one.check, one.kind))
            if was is not None and one.verdict == "unanswered" and one.kind == "rule":
                assert was.verdict == "unanswered", f"{one.check}: {was.verdict} until {key} = {value}"
    assert tried > 5
