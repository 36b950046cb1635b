"""Every current certificate judged by today's rules, on two processes, and what they would say otherwise.

    begin(store, org, person) -> Recheck           a run over what is current now
    go_on(store, run, tell=None, stop=None)        judges on from where the run stands, to its end

A batch is written whole with its place, in the order of the records; a run that is broken off at any moment
goes on where it stopped, by either of these again. Amended places are judged under the amendments that are
stored with the job. Nothing of the records is changed.
"""

from __future__ import annotations

import gc
import json
import signal
from collections import deque
from collections.abc import Callable
from contextlib import suppress
from multiprocessing.connection import Connection
from typing import Any

from heaterapp import archive, rules
from heaterapp.archive.rechecks import Recheck, Stored
from heaterapp.compared import Changes, changes
from heaterapp.crew import Died, Hand

PROCESSES = 2
BATCH = 25
"""Certificates judged between two writings, some 2 MB of reports."""
START_SECONDS = 120.0
SECONDS = 120.0
"""Longest that one batch may take on a machine that has other work too; it takes some 0.2 s."""
TRIES = 2

Answers = list[tuple[int, Changes]]


class OtherRules(ValueError):
    """The run was begun under other rules than this program's: it cannot go on."""


def begin(store: archive.Store, org: int, person: int) -> Recheck:
    """Begin a run, as a logged act of `person`. Raises archive.NotFound, RecheckOpen."""
    return store.rechecks.start(org, person, rules.prepare(), rules.RULESET)


def judged_today(stored: Stored) -> Changes:
    """Return what today's rules say otherwise of one stored certificate."""
    try:
        now = rules.assess(json.loads(stored.job)).as_json()
    except rules.BadAnswer as bad:
        return {f"refused:{bad.key}": {"key": bad.key, "expected": bad.expected}}
    except Exception as fault:  # a check that breaks over a job must not end the run over all the others
        return {f"broken:{type(fault).__name__}": {"says": " ".join(str(fault).split())[:300]}}
    try:
        return changes(json.loads(stored.report), now)
    except (ValueError, KeyError, TypeError, AttributeError):
        return {"broken:report": {"says": "The stored report is not one that can be read."}}


def serve(door: Connection) -> None:
    """A process's life: read the rules, say their digest, then one answer to every batch."""
    signal.signal(signal.SIGINT, signal.SIG_IGN)
    digest = rules.prepare()
    gc.collect()
    gc.freeze()
    # Whoever began it closes the door when all is judged, read or not: that is its end, and no fault.
    with suppress(EOFError, ConnectionError):
        door.send(digest)
        while True:
            batch: list[Stored] = door.recv()
            door.send([(one.record, judged_today(one)) for one in batch])


class Bench(Hand):
    """One process that judges batches; it has at most one under way."""

    def __init__(self) -> None:
        super().__init__(serve, "heaterapp-recheck")
        self._digest: str | None = None

    def give(self, batch: list[Stored], digest: str) -> None:
        """Hand over a batch, to be judged by the rules of this digest alone."""
        if self._digest is None:
            self._digest = self._heard(START_SECONDS)
        if self._digest != digest:
            raise OtherRules("The rules on disk are not the ones that this run was begun under.")
        try:
            self._door.send(batch)
        except OSError as gone:
            raise Died from gone

    def answer(self) -> Answers:
        """Wait for the batch's answers."""
        heard: Answers = self._heard(SECONDS)
        return heard

    def _heard(self, seconds: float) -> Any:
        try:
            if not self._door.poll(seconds):
                raise Died
            return self._door.recv()
        except (EOFError, OSError) as gone:
            raise Died from gone


def go_on(
    store: archive.Store,
    run: Recheck,
    tell: Callable[[Recheck], object] | None = None,
    stop: Callable[[], bool] | None = None,
    processes: int = PROCESSES,
    batch: int = BATCH,
) -> Recheck:
    """Judge on from where the run stands, and close it at its end.

    run        as the archive has it now
    tell       called with the run after every batch
    stop       asked before every batch; where it says so the run is left where it stands
    processes  how many judge at most, 1 or more
    returns    the run as it stands then
    raises     OtherRules; archive.rechecks.RecheckMoved where somebody else goes on with it
    """
    if run.finished_at is not None:
        return run
    if run.ruleset_digest != rules.digest():
        raise OtherRules("This recheck was begun under other rules. Begin a new one.")
    if stop is not None and stop():
        return run
    # A process that would get no batch is not started: reading the rules takes it longer than few jobs do.
    batches = -(-(run.total - run.looked) // batch)
    benches = [Bench() for _ in range(max(1, min(processes, batches)))]
    try:
        return _through(store, run, benches, tell, stop or (lambda: False), batch)
    finally:
        for bench in benches:
            bench.stop()


def _through(
    store: archive.Store, run: Recheck, benches: list[Bench], tell: Callable[[Recheck], object] | None,
    stop: Callable[[], bool], size: int,
) -> Recheck:  # fmt: skip
    waiting: deque[tuple[int, list[Stored]]] = deque()
    free, read_to, at_end = deque(range(len(benches))), run.done_to, False
    while True:
        while free and not at_end and not stop():
            taken = store.rechecks.batch(run, read_to, size)
            if not taken:
                at_end = True
                break
            read_to, place = taken[-1].record, free.popleft()
            _given(benches, place, taken, run.ruleset_digest)
            waiting.append((place, taken))
        if not waiting:
            return store.rechecks.finish(run) if at_end else run
        # Written in the order in which they were read: the place in the run is one number.
        place, taken = waiting.popleft()
        found = {record: told for record, told in _answers(benches, place, taken, run.ruleset_digest) if told}
        free.append(place)
        run = store.rechecks.keep(run, taken[-1].record, len(taken), found)
        if tell is not None:
            tell(run)


def _given(benches: list[Bench], place: int, taken: list[Stored], digest: str) -> None:
    try:
        benches[place].give(taken, digest)
    except Died:
        benches[place].stop()
        benches[place] = Bench()
        benches[place].give(taken, digest)


def _answers(benches: list[Bench], place: int, taken: list[Stored], digest: str) -> Answers:
    """One batch's answers; where its process dies over it, job by job, and the one that kills is named."""
    try:
        return benches[place].answer()
    except Died:
        return [_alone(benches, place, one, digest) for one in taken]


def _alone(benches: list[Bench], place: int, one: Stored, digest: str) -> tuple[int, Changes]:
    for _ in range(TRIES):
        try:
            if not benches[place].alive:
                raise Died
            benches[place].give([one], digest)
            return benches[place].answer()[0]
        except Died:
            benches[place].stop()
            benches[place] = Bench()
    return one.record, {"broken:process": {"says": "The process that judged it ended, or took too long."}}
