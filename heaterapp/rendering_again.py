"""Every stored paper of a period made again, on two processes, and compared with the bytes that are stored.

    begin(path, head) / go_on(path, head) -> Journal    what came of each record, beside the archive
    again(store, orders, journal, tell=None)            makes what the journal does not have yet

Nothing of the archive is changed: what was done stands in the journal alone. Each line is written as its
record is done, so a run that is broken off at any moment goes on behind its last whole line.
"""

from __future__ import annotations

import json
from collections import Counter
from collections.abc import Callable, Iterable, Iterator, Mapping
from concurrent.futures import FIRST_COMPLETED, Future, ThreadPoolExecutor, wait
from dataclasses import asdict, dataclass
from datetime import date, timedelta
from pathlib import Path
from typing import IO, Any

from heaterapp import archive
from heaterapp.recomputing import (
    DIFFERS,
    ERASED,
    HARMED,
    MADE_NEW,
    MISSING,
    OTHER_RELEASE,
    SAME,
    UNMADE,
    papers_of,
)

PROCESSES = 2
AHEAD = 2
"""Records waiting behind each process, so that none waits for the archive; more only fill the memory."""
GRAVEST = (HARMED, DIFFERS, MISSING, MADE_NEW, UNMADE, OTHER_RELEASE, SAME)
WRONG = frozenset({HARMED, DIFFERS, MISSING, MADE_NEW, UNMADE})
Place = tuple[int, int]


class JournalRefused(ValueError):
    """The journal cannot be begun or gone on with; the text says why."""


@dataclass(frozen=True)
class Head:
    """What a run is over: the renderer that makes the papers, the days of issue, the firms."""

    renderer: str
    since: str = ""
    until: str = ""
    firm: str = ""


@dataclass(frozen=True)
class Done:
    """What came of one record: the gravest word for its papers, and each of them."""

    organisation: int
    record: int
    number: str
    word: str
    papers: tuple[tuple[str, str], ...] = ()
    why: str = ""

    @property
    def wrong(self) -> bool:
        """Whether something is not as it should be; another release of the renderer is no fault."""
        return self.word in WRONG


class Journal:
    """The lines of one run, and the file they stand in. Close it at the end."""

    def __init__(self, path: Path, head: Head, lines: Iterable[Done], file: IO[str]) -> None:
        self.path, self.head, self._file = path, head, file
        self.done: dict[Place, Done] = {(one.organisation, one.record): one for one in lines}

    @property
    def counts(self) -> Counter[str]:
        """Word -> how many records it was said of."""
        return Counter(one.word for one in self.done.values())

    def write(self, one: Done) -> None:
        """Keep what came of one record."""
        self._file.write(json.dumps(asdict(one)) + "\n")
        self._file.flush()
        self.done[one.organisation, one.record] = one

    def finish(self) -> None:
        """Say in the file that all was gone through."""
        self._file.write(json.dumps({"finished": len(self.done)}) + "\n")
        self._file.flush()

    def close(self) -> None:
        """Close the file."""
        self._file.close()


def begin(path: Path, head: Head) -> Journal:
    """Begin a journal anew. Raises JournalRefused where one that is not finished stands there."""
    if path.exists():
        _, _, finished = _read(path)
        if not finished:
            raise JournalRefused(
                f"{path.name} is of a run that was broken off: say --resume to go on with it."
            )
    file = path.open("w", encoding="utf-8")
    file.write(json.dumps(asdict(head)) + "\n")
    file.flush()
    return Journal(path, head, (), file)


def go_on(path: Path, head: Head) -> Journal:
    """Open the journal of a run that was broken off. Raises JournalRefused where it is of another one."""
    if not path.exists():
        raise JournalRefused(f"{path.name}: no run was broken off; leave --resume out to begin one.")
    kept, lines, finished = _read(path)
    if finished:
        raise JournalRefused(f"{path.name}: that run came to its end; leave --resume out to begin another.")
    if kept.renderer != head.renderer:
        raise JournalRefused(
            f"{path.name} was begun with release {kept.renderer} of the renderer, this is {head.renderer}:"
            " take the file away and begin anew."
        )
    if kept != head:
        raise JournalRefused(f"{path.name} is over other days or another firm: say the same ones again.")
    text = path.read_bytes()
    file = path.open("r+", encoding="utf-8")
    # A line that was torn off in the middle is written again.
    file.truncate(text.rfind(b"\n") + 1)
    file.seek(0, 2)
    return Journal(path, head, lines, file)


def _read(path: Path) -> tuple[Head, list[Done], bool]:
    text = path.read_text(encoding="utf-8", errors="replace")
    whole = text[: text.rfind("\n") + 1].splitlines()
    try:
        first, *rest = [json.loads(line) for line in whole]
        lines = [Done(**{**one, "papers": tuple(map(tuple, one["papers"]))}) for one in rest if "word" in one]
        return Head(**first), lines, any("finished" in one for one in rest)
    except (ValueError, TypeError, KeyError) as unreadable:
        raise JournalRefused(
            f"{path.name} is no journal of render-again: name another file by --journal."
        ) from unreadable


def places(store: archive.Store, head: Head) -> Iterator[Place]:
    """Every record of a run, (organisation, record), oldest first in each firm."""
    firms = [store.organisations.by_slug(head.firm).id] if head.firm else list(store.origins.organisations())
    before = _next_day(head.until) if head.until else ""
    for firm in firms:
        after = 0
        while found := store.origins.finished(firm, after, since=head.since, before=before):
            yield from ((firm, record) for record in found)
            after = found[-1]


def _next_day(day: str) -> str:
    return (date.fromisoformat(day) + timedelta(days=1)).isoformat()


def again(
    store: archive.Store,
    journal: Journal,
    render: Callable[[Any], Mapping[str, bytes]],
    tell: Callable[[Journal], object] = lambda _: None,
    processes: int = PROCESSES,
) -> None:
    """Make what the journal does not have yet, compare, and write each record's line.

    render     makes a record's papers; called by as many threads as there are processes
    tell       called after every record
    """
    waiting: set[Future[Done]] = set()
    left = (place for place in places(store, journal.head) if place not in journal.done)
    with ThreadPoolExecutor(processes) as hands:
        try:
            for org, record in left:
                waiting.add(hands.submit(_one, store, org, record, render))
                if len(waiting) >= processes * AHEAD:
                    waiting = _written(waiting, journal, tell)
            while waiting:
                waiting = _written(waiting, journal, tell)
        except BaseException:
            for one in waiting:
                one.cancel()
            raise
    journal.finish()


def _written(
    waiting: set[Future[Done]], journal: Journal, tell: Callable[[Journal], object]
) -> set[Future[Done]]:
    done, left = wait(waiting, return_when=FIRST_COMPLETED)
    for one in done:
        journal.write(one.result())
        tell(journal)
    return left


def _one(store: archive.Store, org: int, record: int, render: Callable[[Any], Mapping[str, bytes]]) -> Done:
    try:
        known = store.records.get(org, record)
    except archive.Erased:
        return Done(org, record, "", ERASED)
    try:
        made = render(known)
    except Exception as fault:  # whatever it raises, the other records are still to be looked at
        return Done(org, record, known.number, UNMADE, (), f"{type(fault).__name__}: {fault}"[:500])
    told = papers_of(store, known, made, getattr(render, "release", None))
    word = min((said for _, said in told), key=GRAVEST.index, default=SAME)
    return Done(org, record, known.number, word, told)
