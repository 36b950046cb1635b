"""Whole jobs with their numbers moved to odd ones: each quantity is printed one way, and each working comes to what is printed.

    python tests/odd_numbers.py [2000] [--first 0]      exit 1 and the sentence, when something does not hold

Of each job one number in three is moved by thousandths, as a plate or a tape in millimeters gives it.
"""

from __future__ import annotations

import argparse
import json
import random
import sys
import warnings
from collections.abc import Iterator
from decimal import Decimal
from pathlib import Path
from typing import Any

sys.path.insert(0, str(Path(__file__).parent.parent))

from heaterapp.rules import CATALOGUE, assess
from heaterapp.rules.redone import NotRedone
from tests.rules import test_pocket_calculator as calculator
from tests.rules import test_printed_once as once
from tests.rules import test_random_jobs as made

FOLDER = Path(__file__).parent / "jobs"
JOBS = sorted(FOLDER.glob("*.json"))
MOVED = 3
Answers = dict[str, Any]


def answers_of(job: str) -> Answers:
    """The answers of a whole job of tests/jobs."""
    answers: Answers = json.loads((FOLDER / f"{job}.json").read_text(encoding="utf-8"))["answers"]
    return answers


def disturbed(number: int) -> Answers:
    """The answers of a whole job, the same for the same number, with odd numbers among them."""
    dice = random.Random(f"odd {number}")
    answers = answers_of(JOBS[number % len(JOBS)].stem)
    for name, told in answers.items():
        question = CATALOGUE.get(name)
        if (
            question is not None
            and question.kind == "number"
            and isinstance(told, str | int)
            and not dice.randrange(MOVED)
        ):
            answers[name] = _moved(str(told), dice)
    return made._readable(answers)


def _moved(told: str, dice: random.Random) -> str:
    try:
        return str(
            Decimal(told) * (1000 + dice.randrange(-120, 121)) / 1000 + Decimal(dice.randrange(1, 999)) / 1000
        )
    except ArithmeticError:
        return told


def faults(answers: Answers) -> Iterator[str]:
    """What is wrong of a job's report: a quantity printed in two ways, a working that does not come to what is printed."""
    report = assess(answers).as_json()
    figures, findings = report["figures"], report["findings"]
    answered = frozenset(Decimal(told) for told in map(str, answers.values()) if once.NUMBER.fullmatch(told))
    yield from (f"{one['check']}: {one['why']}" for one in findings if one["verdict"] == "error")
    for name, one in figures.items():
        if once.ends_elsewhere(one):
            yield f"{name} {one['value']}: {one['worked']}"
        if one["worked"]:
            yield from (f"{name}: {text}" for text in calculator.wrong(one["worked"])[1])
    yield from found_twice(findings, figures)
    yield from once.worked_otherwise(figures, answered)
    for one in findings:
        if one["verdict"] != "not_applicable":
            yield from (f"{one['check']}: {text}" for text in once.printed_twice(one, figures, answered))


def found_twice(findings: list[dict[str, Any]], figures: dict[str, Any]) -> Iterator[str]:
    """Each figure that two findings of a report have as found, in two ways."""
    for name, figure in figures.items():
        if (
            figure["unit"] == "psi"
            or not isinstance(figure["value"], str)
            or not once.NUMBER.fullmatch(figure["value"])
        ):
            continue
        value, step = Decimal(figure["value"]), once.OWN[name].step
        ways = {
            one["found"]
            for one in findings
            if name in once.READ.get(one["check"], ()) and one["unit"] == figure["unit"] and one["found"]
            and once.NUMBER.fullmatch(one["found"]) and abs(Decimal(one["found"]) - value) < step
        }  # fmt: skip
        if len(ways) > 1:
            yield f"{name} {value}: found as {sorted(ways)}"


def main(arguments: list[str]) -> int:
    """Try so many jobs; 1 where something does not hold."""
    asked = argparse.ArgumentParser(description=__doc__)
    asked.add_argument("count", nargs="?", type=int, default=2000)
    asked.add_argument("--first", type=int, default=0)
    chosen = asked.parse_args(arguments)
    warnings.simplefilter("error", NotRedone)
    wrong = 0
    for number in range(chosen.first, chosen.first + chosen.count):
        for fault in faults(disturbed(number)):
            wrong += 1
            print(f"job {number}: {fault}")
    print(f"{chosen.count} jobs, {wrong} faults")
    return int(bool(wrong))


if __name__ == "__main__":
    sys.exit(main(sys.argv[1:]))
