"""How fast certificates are judged again on two processes, beside its bar, and whether memory grows."""

from __future__ import annotations

import argparse
import multiprocessing
import os
from collections.abc import Iterator
from pathlib import Path
from typing import Any

from heaterapp.judging_times import held_kb
from heaterapp.timing import Measured

BAR_A_SECOND = 300
CERTIFICATES = 1500
FEWEST = 24
A_CERTIFICATE = 5
"""Lines asked for to one certificate, where the run is to be shorter than whole."""
TICKS = os.sysconf("SC_CLK_TCK")


def recheck_part(options: argparse.Namespace) -> Iterator[Measured]:
    """A recheck of so many certificates, of the demo's jobs in turn, judged and written.

    The time is the processors' own, of the two processes and of the one that reads and writes, spread over
    two of them: what two processors take when they have nothing else to do.
    """
    from heaterapp import archive, rechecking

    count = min(CERTIFICATES, max(FEWEST, options.lines // A_CERTIFICATE))
    store = archive.open_store(data_dir=options.folder / "recheck")
    try:
        firm = store.organisations.default()
        person = store.people.add(firm.id, "bench", "Riley Okafor", "owner", "a long pass phrase")
        _fill(store, person, count)
        watch = _Watch(count)
        begun = rechecking.begin(store, firm.id, person.id)
        run = rechecking.go_on(store, begun, tell=watch, batch=min(rechecking.BATCH, count // 6))
    finally:
        store.close()
    if (run.looked, run.differing, run.failed) != (count, 0, 0):
        raise RuntimeError(f"{run.looked} of {count} were looked at, {run.differing + run.failed} otherwise")
    each = watch.worked() / 2 / watch.jobs * 1000
    name = f"recheck, two processes ({1000 / each:.0f} jobs/s, bar {BAR_A_SECOND}), each"
    yield Measured(name, each, 1000 / BAR_A_SECOND, "ms")
    yield Measured("... memory at the end against after a third", watch.grown(), 1.1, "x")


class _Watch:
    """What the processes of a recheck have worked and hold, from its second batch on."""

    def __init__(self, count: int) -> None:
        self._third = count // 3
        self._looked: list[int] = []
        self._work: list[float] = []
        self._early: float = 0.0
        self._late: float = 0.0

    def __call__(self, run: Any) -> None:
        pids = [os.getpid(), *(one.pid for one in multiprocessing.active_children() if one.pid)]
        held = sum(held_kb(pid) for pid in pids)
        self._early = held if run.looked <= self._third or not self._early else self._early
        self._late = held
        if not self._looked or run.looked < run.total:
            self._looked.append(run.looked)
            self._work.append(sum(_worked_s(pid) for pid in pids))

    @property
    def jobs(self) -> int:
        return self._looked[-1] - self._looked[0]

    def worked(self) -> float:
        """Seconds of processors."""
        return self._work[-1] - self._work[0]

    def grown(self) -> float:
        return self._late / self._early


def _worked_s(pid: int) -> float:
    told = Path(f"/proc/{pid}/stat").read_text(encoding="ascii").rpartition(")")[2].split()
    return (int(told[11]) + int(told[12])) / TICKS


def _fill(store: Any, person: Any, count: int) -> None:
    """So many certificates of as many jobs; what the demo's towns have, no two with the same serial."""
    from heaterapp import demo
    from heaterapp.issue import submission

    stories = [one for one in demo.STORIES if _certifiable(demo.answers_of(one))]
    signed = {"signatures": [{"name": person.name, "role": "installer", "method": "typed"}]}
    for at in range(count):
        answers = {**demo.answers_of(stories[at % len(stories)]), "heater_serial": f"PL-{at:06}"}
        job = store.jobs.create(person.organisation, person.id, answers)
        job = store.jobs.save_signature(person.organisation, job.id, signed)
        wish = submission(person, job, f"benchmark-{at}")
        store.issue_and_finish(wish, lambda record: {"certificate.pdf": b"%PDF"})


def _certifiable(answers: Any) -> bool:
    from heaterapp.filling.signed import kind_for
    from heaterapp.rules import assess

    outcome = assess(answers).outcome
    return outcome == "ready" and kind_for(answers, outcome) == "certificate"
