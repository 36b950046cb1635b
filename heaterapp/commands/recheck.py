"""recheck: which current certificates today's rules would judge otherwise, and why."""

from __future__ import annotations

import argparse
import select
import sys
import time
from typing import Any

from heaterapp import rechecking
from heaterapp.archive.rechecks import Recheck, RecheckMoved
from heaterapp.opening import Stopped, open_archive
from heaterapp.recheck_words import change_words

NAME = "recheck"
SAYS = "judge every current certificate by today's rules, and say which come out otherwise"
EVERY_S = 2.0
GROUPS_SHOWN = 30


def options(parser: argparse.ArgumentParser) -> None:
    parser.add_argument("--resume", action="store_true", help="go on with the one that was broken off")
    parser.add_argument("--firm", help="short name of the firm, where there are several")
    # The server's own: ends when whoever started it does.
    parser.add_argument("--beside", action="store_true", help=argparse.SUPPRESS)


def run(chosen: argparse.Namespace) -> int:
    store = open_archive()
    try:
        return _gone_through(store, chosen)
    except (rechecking.OtherRules, RecheckMoved) as refused:
        raise Stopped(str(refused)) from refused
    finally:
        store.close()


def _gone_through(store: Any, chosen: argparse.Namespace) -> int:
    firm = store.organisations.by_slug(chosen.firm) if chosen.firm else store.organisations.default()
    run = store.rechecks.unfinished(firm.id)
    if chosen.resume and run is None:
        raise Stopped("No recheck was broken off: leave --resume out to begin one.")
    if not chosen.resume:
        run = rechecking.begin(store, firm.id, _owner(store, firm.id))
    telling = _Progress()
    stop = _left_alone if chosen.beside else None
    run = rechecking.go_on(store, run, tell=telling, stop=stop)
    telling.last(run)
    if run.finished_at is None:
        return 0
    counts = store.rechecks.counts(firm.id, run.id)
    for mark, count in list(counts.items())[:GROUPS_SHOWN]:
        print(f"  {count:7,}  {change_words(mark)}")
    if len(counts) > GROUPS_SHOWN:
        further = len(counts) - GROUPS_SHOWN
        print(f"  and {further} further changes: the page Recheck of the office lists all.")
    return 0


def _owner(store: Any, org: int) -> int:
    owners = [one.id for one in store.people.all(org) if one.role == "owner" and not one.disabled]
    if not owners:
        raise Stopped("The firm has no owner in whose name it could be done: 'python -m heaterapp person'.")
    return int(owners[0])


class _Progress:
    """A line every other second, over the one before where somebody watches."""

    def __init__(self) -> None:
        self._next = 0.0

    def __call__(self, run: Recheck) -> None:
        if time.monotonic() >= self._next and sys.stdout.isatty():
            print(f"\r{progress_words(run)}", end="", flush=True)
            self._next = time.monotonic() + EVERY_S

    def last(self, run: Recheck) -> None:
        end = "\r" if sys.stdout.isatty() else ""
        print(f"{end}{progress_words(run)}{'.' if run.finished_at else ', to be resumed.'}")


def progress_words(run: Recheck) -> str:
    """Return how far a run came.

    >>> progress_words(Recheck(1, 1, "", 1, "", "", "", 9, 5, 1200, 1100, 3, 0, None))
    '1,100 of 1,200 looked at, 3 otherwise, 0 not readable today'
    """
    found = f"{run.differing:,} otherwise, {run.failed:,} not readable today"
    return f"{run.looked:,} of {run.total:,} looked at, {found}"


def _left_alone() -> bool:
    """Whether whoever started this process is gone: nobody writes to the pipe, so it is ready at its end."""
    return bool(select.select([sys.stdin.fileno()], [], [], 0)[0])
