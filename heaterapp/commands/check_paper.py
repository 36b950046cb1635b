"""check-paper: what a PDF is, beside the paper as it is stored and the keys of the firm's seal."""

from __future__ import annotations

import argparse
import sys
from pathlib import Path
from typing import Any, NamedTuple

from heaterapp import archive, sealed_papers, sealing
from heaterapp.archive.canonical import read_number
from heaterapp.certificate import identifiers, redacted_identifier
from heaterapp.opening import Stopped, open_archive

NAME = "check-paper"
SAYS = "say what a PDF is: the stored paper, sealed, saved again, changed; exit 1 unless it is the paper"
WRONG = "No paper has this number with this code. Check both against the paper."


class Firm(NamedTuple):
    """What one firm has under a number: its stored papers, its keys, and how the record stands."""

    stored: list[sealing.Stored]
    keys: list[sealing.Known]
    standing: list[str]


def options(parser: argparse.ArgumentParser) -> None:
    parser.add_argument("file", type=Path, metavar="FILE", help="the PDF")
    parser.add_argument("--number", help="the number printed on the paper; else that of the file's title")
    parser.add_argument("--code", help="with --number: the check code printed beside it, held against it")


def run(chosen: argparse.Namespace) -> int:
    if chosen.code and not chosen.number:
        raise Stopped("--code goes with --number.")
    try:
        size = chosen.file.stat().st_size
        # What is too large is told by its size: it is not even read.
        body = chosen.file.read_bytes() if size <= sealing.LARGEST else bytes(0)
    except OSError as refused:
        raise Stopped(f"{chosen.file}: {refused.strerror}.") from refused
    if size > sealing.LARGEST:
        print(f"{sealing.KINDS['too_large']} It has {size:,} bytes.", file=sys.stderr)
        return 1
    store = open_archive()
    try:
        if chosen.code and store.records.check(chosen.number, chosen.code) is None:
            raise Stopped(WRONG)
        firms = _firms(store, chosen.number or sealing.number_in(body), bool(chosen.number))
    finally:
        store.close()
    # Each firm's papers by that firm's keys alone: another firm here may seal what it likes.
    looks = [(sealing.look(body, one.keys, one.stored), one) for one in firms]
    looked, firm = min(looks, key=lambda pair: (not pair[0].sound, pair[0].paper is None))
    said = [*sealing.said_of(looked), *firm.standing]
    if not firm.stored:
        said.append("It was compared with no stored paper: name the number printed on it, --number C-000123.")
    print("\n".join(said), file=sys.stdout if looked.sound else sys.stderr)
    return 0 if looked.sound else 1


def _firms(store: Any, number: str, asked: bool) -> list[Firm]:
    """Return every firm that has a paper of this number; else one with all keys and no paper."""
    firms, keys = [], []
    for organisation in store.origins.organisations():
        keys += sealed_papers.known_of(store, organisation)
        hit = _hit(store, organisation, number)
        if hit is None:
            continue
        stored, own = sealed_papers.beside(store, organisation, hit, identifiers, redacted_identifier)
        firms.append(Firm(stored, own, [f"{hit.number}: {sealed_papers.standing(hit)}."]))
    if asked and not firms:
        raise Stopped(f"{number[:40]}: no record has this number.")
    return firms or [Firm([], keys, [])]


def _hit(store: Any, organisation: int, number: str) -> archive.Hit | None:
    for meant in read_number(number) or (number,):
        try:
            found: archive.Hit = store.records.hit(organisation, meant)
        except archive.NotFound:
            continue
        return found
    return None
