"""What must hold of every report, whatever was answered, tried on as many random jobs as asked.

    python tests/random_jobs.py [100000] [--first 0] [--seed 20261125]      exit 1 and the job, when something does not hold

No exception and no `error`, nor with half of the answers; a failure or an open answer keeps the outcome from `ready`; what
is open names what it waits for; more of a good thing (tests/better.py) never turns
`meets` into `fails`; one more answer leaves no other check less answered; two places disagree only where their clauses do.
"""

from __future__ import annotations

import argparse
import json
import random
import sys
import time
from collections import Counter
from collections.abc import Callable, Iterator
from functools import cache
from pathlib import Path
from typing import Any

sys.path.insert(0, str(Path(__file__).parent.parent))

from heaterapp.rules import CATALOGUE, BadAnswer, Job, Report, assess, binding, catalog, place_names
from tests.better import BETTER
from tests.rules import test_random_jobs as made

PLACES = sorted(set(place_names().values()))
WHOLE = sorted((Path(__file__).parent / "jobs").glob("*.json"))
MOST_CHANGED, TOLD_EVERY = 6, 5000
Answers = dict[str, Any]
STAYS, WORDS = ("place", "heater_kind"), {"yes_no": ["yes", "no"]}
TURNED = [q for q in CATALOGUE.values() if q.kind in ("yes_no", "choice") and q.name not in STAYS]


@cache
def _whole(path: Path) -> Answers:
    answers: Answers = json.loads(path.read_text(encoding="utf-8"))["answers"]
    return answers


def _near_a_whole_job(dice: random.Random) -> Answers:
    """A job as it could stand after the work, a few answers of it otherwise or gone, often in another town."""
    answers = dict(_whole(dice.choice(WHOLE)))
    if dice.random() < 0.5:
        answers["place"] = dice.choice(PLACES)
    for name in dice.sample(sorted(set(answers) & set(CATALOGUE)), dice.randrange(MOST_CHANGED)):
        if name in ("place", "heater_kind"):
            continue
        fresh = made._answer(CATALOGUE[name], dice)
        if fresh is None or dice.random() < 0.2:
            del answers[name]
        else:
            answers[name] = fresh
    return made._readable(answers)


BRINGS_UP = {
    ("heater.suits_elevation", "heater_altitude_limit_ft"): "a plate's limit below the house brings up the kit",
}
"""(check, answer) -> why the check may ask for more after that answer."""


def _verdicts(report: Report) -> dict[tuple[str, str], str]:
    return {(one.check, one.kind): one.verdict for one in report.findings}


def sound(report: Report) -> Iterator[str]:
    """No error; nothing wrong or open is ready; what is open names what it waits for."""
    ruling = [one for one in report.findings if one.kind == "rule"]
    yield from (f"{one.check}: {one.why}" for one in ruling if one.verdict == "error")
    yield from (f"{one.check} waits for nothing" for one in ruling if one.verdict == "unanswered" and not one.missing)
    stops = [f.check for f in ruling if f.verdict in ("fails", "unanswered", "error") and not f.accepted]
    if (report.outcome == "ready") == bool(stops):
        yield f"outcome {report.outcome} with {stops}"


def half_told(answers: Answers, dice: random.Random) -> Iterator[str]:
    """A part of the answers, words among them turned, makes as sound a report: a job is judged all the while."""
    kept = dice.choice((0.3, 0.6, 0.9))
    half = {name: given for name, given in answers.items() if name in STAYS or dice.random() < kept}
    half |= {q.name: dice.choice(WORDS.get(q.kind) or list(q.choices)) for q in dice.sample(TURNED, 20)}
    yield from (f"half told, {fault}: {json.dumps(half)}" for fault in sound(assess(made._readable(half))))


def more_is_better(
    answers: Answers, report: Report, dice: random.Random, tried: Counter[str]
) -> Iterator[str]:
    """More of a good thing turns no `meets` into `fails`."""
    job, before = Job(answers), _verdicts(report)
    able = [
        name
        for name, (_, checks) in BETTER.items()
        if any(before.get((c, "rule")) == "meets" for c in checks)
    ]
    if not able:
        return
    name = dice.choice(able)
    take, checks = BETTER[name]
    value = take(job, name, dice)
    if value is None:
        return
    try:
        after = _verdicts(assess({**answers, name: value}))
    except BadAnswer:
        return
    for check in checks:
        if before.get((check, "rule")) == "meets":
            tried[check] += 1
            if after[check, "rule"] == "fails":
                yield f"{check} fails with {name} = {value}, more than before"


def one_more_answer(answers: Answers, report: Report, dice: random.Random) -> Iterator[str]:
    """One more answer leaves no check less answered but for those it brings up; one that contradicts is asked again."""
    key = dice.choice([name for name in CATALOGUE if name not in answers] or ["place"])
    question = CATALOGUE[key]
    value = made._answer(question, dice)
    if (
        key == "place"
        or not isinstance(value, str)
        or value in made.NO_ANSWER
        or question.default is not None
    ):
        return
    try:
        after = assess({**answers, key: value})
    except BadAnswer:
        return
    if any(flag["says"].endswith("Measure again.") for flag in after.flags):
        return
    before = _verdicts(report)
    for one in after.findings:
        was = before.get((one.check, one.kind))
        if key in one.missing or (one.check, key) in BRINGS_UP:
            continue
        if one.kind == "rule" and one.verdict == "unanswered" and was not in (None, "unanswered", "not_applicable"):
            yield f"{one.check}: {was} until {key} = {value}"


def _rests_on(place: str, check: catalog.Check) -> tuple[Any, ...]:
    """Every clause value a check can read at a place, through its figures too, and how sure it is."""
    _, checks, figures = binding.bindings(place)
    bound, waiting = [checks[check.name]], [check.contract]
    while waiting:
        needs = waiting.pop()
        for name in (*(one.name for one in needs.arguments), *needs.when.names):
            if name in figures:
                bound.append(figures[name])
                waiting.append(catalog.figure_contracts()[name][1])
    stated = [
        book_place.clauses.get(ident)
        for book_place in (binding.bindings(place)[0],)
        for ident in check.contract.clauses
    ]
    held = [(one.values, one.clause and (one.clause.confidence, one.clause.retroactive)) for one in bound]
    return tuple(map(repr, held)), tuple(
        one and (repr(one.values), one.confidence, one.retroactive) for one in stated
    )


def places_agree(
    answers: Answers, report: Report, other: str, same: dict[tuple[str, str], set[str]]
) -> Iterator[str]:
    """Two places judge alike whatever their clauses say alike."""
    here, there = answers["place"], other
    pair = (here, there) if here < there else (there, here)
    if pair not in same:
        same[pair] = {
            one.name for one in catalog.all_checks() if _rests_on(here, one) == _rests_on(there, one)
        }
    elsewhere = _verdicts(assess({**answers, "place": there}))
    for (check, kind), verdict in _verdicts(report).items():
        if check in same[pair] and elsewhere.get((check, kind)) != verdict:
            yield f"{check}: {verdict} at {here}, {elsewhere.get((check, kind))} at {there}, on the same clauses"


def run(count: int, seed: int, said: Callable[[str], None] = print, first: int = 0) -> int:
    """Try so many jobs; returns how many broke something, each told with its answers."""
    broken, tried, outcomes = 0, Counter[str](), Counter[str]()
    same: dict[tuple[str, str], set[str]] = {}
    for number in range(first, first + count):
        dice = random.Random(f"{seed} {number}")
        whole = bool(number % 2)
        answers = _near_a_whole_job(dice) if whole else made._told(dice, dice.choice(PLACES))
        report = assess(answers)
        outcomes[report.outcome] += 1
        faults = [
            *sound(report),
            *half_told(answers, random.Random(f"half {seed} {number}")),
            *more_is_better(answers, report, dice, tried),
            *one_more_answer(answers, report, dice),
        ]
        faults += places_agree(
            answers, report, dice.choice([one for one in PLACES if one != answers["place"]]), same
        )
        if faults:
            broken += 1
            said(f"job {number}: {'; '.join(faults)}\n    {json.dumps(answers)}")
        if number % TOLD_EVERY == TOLD_EVERY - 1:
            said(f"{number + 1 - first} tried, {broken} with a fault")
    ways = ", ".join(f"{held} {outcome}" for outcome, held in sorted(outcomes.items()))
    said(
        f"{count} jobs ({ways}), {broken} with a fault;"
        f" more of a good thing was tried {sum(tried.values())} times on {len(tried)} checks"
    )
    return broken


def main(arguments: list[str]) -> int:
    """Run the command; returns 1 when something does not hold."""
    parser = argparse.ArgumentParser(description="Try what must hold of every report on random jobs.")
    parser.add_argument("count", nargs="?", type=int, default=100_000)
    parser.add_argument("--first", type=int, default=0, help="the number to begin at")
    parser.add_argument("--seed", type=int, default=20261125)
    chosen = parser.parse_args(arguments)
    began = time.monotonic()
    broken = run(chosen.count, chosen.seed, first=chosen.first)
    print(f"{time.monotonic() - began:.0f} s")
    return int(bool(broken))


if __name__ == "__main__":
    sys.exit(main(sys.argv[1:]))
