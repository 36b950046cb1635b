"""recompute: make certificates again from what is stored, and compare byte for byte."""

from __future__ import annotations

import argparse
import sys
from collections.abc import Iterator
from typing import Any

from heaterapp import archive, recomputing
from heaterapp.opening import Stopped, open_archive

NAME = "recompute"
SAYS = "make records again from their answers and their archived ruleset; exit 1 on a difference"
SHOWN = 20


def options(parser: argparse.ArgumentParser) -> None:
    parser.add_argument("numbers", nargs="*", metavar="NUMBER", help="records by their numbers")
    parser.add_argument("--all", action="store_true", help="every record instead")
    parser.add_argument("--sample", type=int, metavar="N", help="with --all: N of them, spread evenly")
    parser.add_argument("--papers", action="store_true", help="make the papers again too")
    parser.add_argument("--firm", help="short name of the firm, where there are several")


def run(chosen: argparse.Namespace) -> int:
    if bool(chosen.numbers) == chosen.all:
        raise Stopped("Name records by their numbers, or say --all.")
    if chosen.sample is not None and (not chosen.all or chosen.sample < 1):
        raise Stopped("--sample goes with --all and is at least 1.")
    store = open_archive()
    try:
        return _looked_at(store, chosen)
    finally:
        store.close()


def _looked_at(store: Any, chosen: argparse.Namespace) -> int:
    render = None
    if chosen.papers:
        from heaterapp.certificate import render_files as render
    counted: dict[str, int] = {}
    bad = 0
    with recomputing.Judges() as judges:
        for org, record in _wanted(store, chosen):
            found = recomputing.recompute(store, org, record, judges=judges, render=render)
            counted[found.report] = counted.get(found.report, 0) + 1
            bad += not found.ok
            told = any(said != recomputing.SAME for _, said in found.papers)
            if chosen.numbers or told or (not found.ok and bad <= SHOWN):
                number = found.number or f"record {record}"
                print("\n".join(lines(number, found)), file=sys.stdout if found.ok else sys.stderr)
    total = sum(counted.values())
    records = "record" if total == 1 else "records"
    print(f"{total:,} {records} made again: {total - bad} as they are stored, {bad} otherwise.")
    return 1 if bad else 0


def lines(number: str, found: recomputing.Recomputed) -> list[str]:
    """Return what came of one record, a line each."""
    said = [f"{number}: report {recomputing.WORDS[found.report]}"]
    said += [f"  {why}" for why in found.why]
    return said + [f"  {name}: {recomputing.WORDS[word]}" for name, word in found.papers]


def _wanted(store: Any, chosen: argparse.Namespace) -> Iterator[tuple[int, int]]:
    if chosen.numbers:
        firm = store.organisations.by_slug(chosen.firm) if chosen.firm else store.organisations.default()
        for number in chosen.numbers:
            try:
                yield firm.id, store.records.hit(firm.id, number).record
            except archive.NotFound as unknown:
                raise Stopped(f"{number[:40]}: no record has this number.") from unknown
        return
    own = [store.organisations.by_slug(chosen.firm).id] if chosen.firm else store.origins.organisations()
    total = sum(1 for _ in _ids(store, own)) if chosen.sample else 0
    for at, one in enumerate(_ids(store, own)):
        # Every so manieth, so that the sample goes through the whole archive.
        if not chosen.sample or at * chosen.sample // total != (at - 1) * chosen.sample // total:
            yield one


def _ids(store: Any, organisations: list[int]) -> Iterator[tuple[int, int]]:
    for org in organisations:
        after = 0
        while found := store.origins.finished(org, after):
            yield from ((org, record) for record in found)
            after = found[-1]
