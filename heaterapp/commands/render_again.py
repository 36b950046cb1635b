"""render-again: make every stored paper of a period again and compare its bytes with the stored ones."""

from __future__ import annotations

import argparse
import sys
import time
from datetime import date
from pathlib import Path
from typing import Any

from heaterapp import archive, rendering_again
from heaterapp.opening import Stopped, configuration, open_archive
from heaterapp.recomputing import WORDS
from heaterapp.rendering_again import Done, Head, Journal, JournalRefused

NAME = "render-again"
SAYS = "make the stored papers of a period again and compare their bytes; exit 1 on a difference"
FILE = "render-again.jsonl"
SHOWN = 20
EVERY_S = 2.0
LINE_EVERY_S = 60.0


def options(parser: argparse.ArgumentParser) -> None:
    parser.add_argument(
        "--from", dest="since", metavar="DAY", help="first day of issue, such as 2026-01-01 (UTC)"
    )
    parser.add_argument("--to", dest="until", metavar="DAY", help="last day of issue")
    parser.add_argument("--firm", help="short name of the firm; all without it")
    parser.add_argument("--resume", action="store_true", help="go on with the run that was broken off")
    parser.add_argument(
        "--journal", type=Path, metavar="FILE", help=f"where what is done is kept ({FILE} in the data folder)"
    )


def run(chosen: argparse.Namespace) -> int:
    since, until = _day("--from", chosen.since), _day("--to", chosen.until)
    if since and until and since > until:
        raise Stopped(f"--from {since} is behind --to {until}.")
    from heaterapp.certificate import render_files, shutdown

    store = open_archive()
    try:
        if chosen.firm:
            _known(store, chosen.firm)
        head = Head(render_files.release(), since, until, chosen.firm or "")
        path = chosen.journal or Path(configuration()["DATA_DIR"]) / FILE
        return _through(store, _journal(path, head, chosen.resume), render_files)
    finally:
        shutdown()
        store.close()


def _day(name: str, given: str | None) -> str:
    try:
        day = date.fromisoformat(given) if given else None
    except ValueError:
        day = date.max
    if day == date.max:
        raise Stopped(f"{name} {(given or '')[:40]}: expected a day such as 2026-01-31.")
    return day.isoformat() if day else ""


def _known(store: Any, slug: str) -> None:
    try:
        store.organisations.by_slug(slug)
    except archive.NotFound as unknown:
        raise Stopped(f"--firm {slug[:40]}: no firm has this short name.") from unknown


def _journal(path: Path, head: Head, resume: bool) -> Journal:
    try:
        return (rendering_again.go_on if resume else rendering_again.begin)(path, head)
    except JournalRefused as refused:
        raise Stopped(str(refused)) from refused
    except OSError as refused:
        raise Stopped(f"The journal {path} cannot be written: {refused.strerror}.") from refused


def _through(store: Any, journal: Journal, render: Any) -> int:
    telling = _Progress(sum(1 for _ in rendering_again.places(store, journal.head)), journal)
    try:
        rendering_again.again(store, journal, render, telling)
    except KeyboardInterrupt:
        print(f"\n{telling.words(journal)}. Broken off: go on with --resume.", file=sys.stderr)
        return 130
    finally:
        journal.close()
    wrong = [one for one in journal.done.values() if one.wrong]
    for one in wrong[:SHOWN]:
        print("\n".join(lines(one)), file=sys.stderr)
    if len(wrong) > SHOWN:
        print(f"and {len(wrong) - SHOWN:,} more, in {journal.path}", file=sys.stderr)
    print(summary(journal))
    return 1 if wrong else 0


def lines(one: Done) -> list[str]:
    """Return what is wrong with one record's papers, a line each."""
    head = f"{one.number or f'record {one.record}'}: {one.why or 'its papers'}"
    return [head, *(f"  {name}: {WORDS[word]}" for name, word in one.papers if word != "same")]


def summary(journal: Journal) -> str:
    """Return how many records' papers came out how, in a sentence or two."""
    counts, total = journal.counts, len(journal.done)
    same, other, erased = counts["same"], counts["other_release"], counts["erased"]
    wrong = sum(one.wrong for one in journal.done.values())
    said = f"{total:,} records made again: {same:,} the same, byte for byte, {wrong:,} not"
    if other:
        said += (
            f"; {other:,} stored by another release of the renderer than {journal.head.renderer}, unharmed"
        )
    if erased:
        said += f"; {erased:,} erased for privacy, with nothing left to make again"
    return f"{said}. No stored byte was changed."


class _Progress:
    """How far it is: over the line before where somebody watches, else a line a minute."""

    def __init__(self, total: int, journal: Journal) -> None:
        self._total, self._had = total, len(journal.done)
        self._began = self._said = time.monotonic()

    def __call__(self, journal: Journal) -> None:
        now, watched = time.monotonic(), sys.stdout.isatty()
        if now - self._said < (EVERY_S if watched else LINE_EVERY_S):
            return
        self._said = now
        print(
            f"\r{self.words(journal)} " if watched else self.words(journal),
            end="" if watched else "\n",
            flush=True,
        )

    def words(self, journal: Journal) -> str:
        """Return how many are done, how fast, and how long the others take."""
        done, took = len(journal.done), max(time.monotonic() - self._began, 0.001)
        speed = (done - self._had) / took
        left = f", {(self._total - done) / speed / 60:.0f} min left" if speed else ""
        return f"{done:,} of {self._total:,}, {speed:.1f} a second{left}"
