"""What must hold of every homeowner's page and calendar, whatever was answered, tried on random jobs.

    python tests/homeowner/random_pages.py [10000] [--seed 1]      exit 1 and the job, when something does not hold

Both languages have the same parts and as many lines; the emergency box keeps to 120 words and has no gas where nothing
burns; a paper that is no certificate says so first and has no word of passing; no gap and no stored word is left.
"""

from __future__ import annotations

import argparse
import json
import random
import re
import sys
from collections.abc import Iterator
from pathlib import Path
from typing import Any

sys.path.insert(0, str(Path(__file__).parents[2]))

from heaterapp import homeowner
from heaterapp.homeowner.known import ELECTRIC
from tests.homeowner.passing import NOT_ONE, passing_words
from tests.homeowner.plain_text import as_text
from tests.homeowner.records import known, record_of
from tests.random_jobs import PLACES, _near_a_whole_job
from tests.rules import test_random_jobs as made_up

LEFT_OVER = re.compile(r"\bNone\b|[{}]|could_not|correction_list|findings_report|not_here")


def faults_of(made: Any) -> Iterator[str]:
    """What does not hold of a record's page, text and calendar."""
    heater = known(made)
    pages = {language: homeowner.page_of(heater, language) for language in homeowner.LANGUAGES}
    shapes = {
        tuple(len(value) if isinstance(value, tuple) else bool(value) for value in vars(page).values())
        for page in pages.values()
    }
    if len(shapes) > 1:
        yield "the languages have other parts"
    for language, page in pages.items():
        text = as_text(page)
        box = " ".join([page.emergency_title, *(f"{when} {do}" for when, do in page.emergencies)])
        if len(box.split()) > 120:
            yield f"{language}: {len(box.split())} words in the emergency box"
        if heater.kind in ELECTRIC and re.search(r"\bgas\b", box):
            yield f"{language}: gas at an electric heater"
        if LEFT_OVER.search(text):
            yield f"{language}: {LEFT_OVER.findall(text)}"
        if made.kind != "certificate" and (passing_words(text) or not any(map(NOT_ONE.search, page.notices))):
            yield f"{language}: {passing_words(text)} on a {made.kind}"
        if not homeowner.care_calendar(heater, language).endswith(b"END:VCALENDAR\r\n"):
            yield f"{language}: no calendar"


def run(count: int, seed: int) -> int:
    """Try so many; return how many did not hold."""
    wrong = 0
    for number in range(count):
        dice = random.Random(f"{seed}.{number}")
        answers = _near_a_whole_job(dice) if number % 2 else made_up._told(dice, dice.choice(PLACES))
        faults = list(faults_of(record_of(answers)))
        if faults:
            wrong += 1
            print(f"job {number}: {faults}\n{json.dumps(answers, default=str)}")
    return wrong


def main() -> int:
    """Try as many as asked."""
    asked = argparse.ArgumentParser(description=__doc__)
    asked.add_argument("count", type=int, nargs="?", default=10_000)
    asked.add_argument("--seed", type=int, default=1)
    given = asked.parse_args()
    wrong = run(given.count, given.seed)
    print(f"{given.count} jobs, {wrong} did not hold")
    return 1 if wrong else 0


if __name__ == "__main__":
    sys.exit(main())
