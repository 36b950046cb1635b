"""No word for a pass where anything is failed, unanswered or broken, tried on as many random jobs as asked.

    python tests/wording_jobs.py [100000] [--papers 200] [--processes 2] [--first 0] [--seed 20261126]

Looks at the review, the issued page, the strip beside the fields, the paper's markup (of one job in ten in Spanish
too), the homeowner's page in both languages, the check page, the list of jobs and the mail's text; and reads as many
real PDFs back by pdftotext.
Every seventh job has a check that breaks. Exit 1 and the job, when a word stands where it must not.
"""

from __future__ import annotations

import argparse
import gc
import json
import multiprocessing
import random
import subprocess
import sys
import tempfile
import time
from collections import Counter
from collections.abc import Callable, Iterator
from contextlib import ExitStack, nullcontext
from functools import lru_cache, partial
from pathlib import Path
from typing import Any
from unittest import mock

import segno

sys.path.insert(0, str(Path(__file__).parent.parent))

from heaterapp.certificate import render_here
from heaterapp.certificate.filed import Filed
from heaterapp.certificate.translated import Translated, pressed
from heaterapp.rules import assess
from tests import judged_once
from tests.random_jobs import PLACES, _near_a_whole_job
from tests.rules import test_random_jobs as made
from tests.wording.pages import Judged, Office, broken
from tests.wording.passes import never_words, passing_words, text_of

BROKEN_EVERY, SHARE, PAPERS, TOLD_EVERY, SPANISH_EVERY = 7, 100, 10, 5, 5
Counts = Counter[str]
SAY = partial(print, flush=True)


def answers_of(number: int, seed: int) -> dict[str, Any]:
    """The answers of one random job: by turns anything at all, and a job as it could stand after the work."""
    dice = random.Random(f"{seed} {number}")
    return _near_a_whole_job(dice) if number % 2 else made._told(dice, dice.choice(PLACES))


def language_of(number: int) -> str:
    """The language of the installer's pages: two jobs of twenty are in Spanish, whose sentences take longer."""
    return "en" if number // 2 % 10 else "es"


def breaking(number: int, seed: int) -> Any:
    """What makes a check break over every seventh job."""
    if number % BROKEN_EVERY:
        return nullcontext()
    judged = assess(answers_of(number, seed)).findings
    here = [one.check for one in judged if one.kind == "rule" and one.verdict in ("meets", "fails")]
    return broken(random.Random(f"broken {seed} {number}").choice(here)) if here else nullcontext()


def faults_of(name: str, text: str, now: Judged) -> Iterator[str]:
    """What of a text must not stand there, for a job with this outcome."""
    yield from (f"{name}: {word}" for word in never_words(text))
    if now.outcome != "ready":
        yield from (f"{name}: {word}" for word in passing_words(text))


def tried(office: Office, number: int, seed: int, counts: Counts) -> list[str]:
    """One job's faults, in all that tells of it."""
    with breaking(number, seed), judged_once.judged_once():
        now = Judged.of(answers_of(number, seed))
        counts[now.outcome] += 1
        counts["open in Spanish"] += now.outcome != "ready" and language_of(number) == "es"
        counts["broken"] += b'"verdict":"error"' in now.report
        found = []
        try:
            for name, told in office.told(now, language_of(number)):
                counts["texts"] += 1
                found += faults_of(name, text_of(told), now)
        except RuntimeError as broke:
            found.append(str(broke))
        judged_once.forget()
        return found


def printed(office: Office, number: int, seed: int) -> list[str]:
    """One job's faults in both of its PDFs, read back by pdftotext; of one paper in so many, the Spanish one's too."""
    with breaking(number, seed):
        now = Judged.of(answers_of(number, seed))
        office.now = now
        filed, found = Filed.of(office._opened()), []
        spanish = pressed(Translated(filed, "es")) if number % SPANISH_EVERY == SPANISH_EVERY - 1 else {}
        for name, body in (render_here(filed) | spanish).items():
            run = subprocess.run(
                ["pdftotext", "-", "-"], input=body, capture_output=True, check=True
            )
            text = " ".join(run.stdout.decode().split())
            found += faults_of(name, text, now) if filed.number in text else [f"{name}: nothing is read"]
        return found


def share(task: tuple[int, int, int, bool]) -> tuple[Counts, list[str]]:
    """So many jobs in one process."""
    first, count, seed, papers = task
    counts, found = Counter[str](), []
    office = _office()
    for number in range(first, first + count):
        faults = printed(office, number, seed) if papers else tried(office, number, seed, counts)
        counts["papers" if papers else "jobs"] += 1
        if faults:
            counts["faulty"] += 1
            found.append(f"job {number}: {'; '.join(faults[:6])}")
    return counts, found


_OPEN: list[tuple[tempfile.TemporaryDirectory[str], Office]] = []
_KEPT = ExitStack()


def _office() -> Office:
    if not _OPEN:
        # Every job's square says the same: it is drawn once.
        _KEPT.enter_context(mock.patch.object(segno, "make", lru_cache(maxsize=8)(segno.make)))
        folder = tempfile.TemporaryDirectory(prefix="wording-")
        _OPEN.append((folder, Office(Path(folder.name))))
        gc.freeze()
    return _OPEN[0][1]


def run(
    count: int,
    papers: int,
    seed: int,
    first: int = 0,
    processes: int = 2,
    said: Callable[[str], Any] = SAY,
) -> Counts:
    """Try so many jobs and papers; returns the counts, `faulty` among them."""
    tasks = [
        (at, min(PAPERS, first + papers - at), seed, True) for at in range(first, first + papers, PAPERS)
    ]
    tasks += [(at, min(SHARE, first + count - at), seed, False) for at in range(first, first + count, SHARE)]
    total, began = Counter[str](), time.monotonic()
    with multiprocessing.get_context("spawn").Pool(processes) as pool:
        for done, (counts, found) in enumerate(pool.imap_unordered(share, tasks), 1):
            total += counts
            for one in found:
                said(one)
            if done % TOLD_EVERY == 0:
                said(f"{done} of {len(tasks)} shares, {time.monotonic() - began:.0f} s: {json.dumps(total)}")
    return total


def main(arguments: list[str]) -> int:
    """Run the command; returns 1 when a word stands where it must not."""
    parser = argparse.ArgumentParser(description="No word for a pass where anything is open.")
    parser.add_argument("count", nargs="?", type=int, default=100_000)
    parser.add_argument("--papers", type=int, default=200, help="real PDFs read back (200)")
    parser.add_argument("--processes", type=int, default=2)
    parser.add_argument("--first", type=int, default=0, help="the number to begin at")
    parser.add_argument("--seed", type=int, default=20261126)
    chosen = parser.parse_args(arguments)
    counts = run(chosen.count, chosen.papers, chosen.seed, chosen.first, chosen.processes)
    print(json.dumps(counts))
    return int(bool(counts["faulty"]))


if __name__ == "__main__":
    sys.exit(main(sys.argv[1:]))
