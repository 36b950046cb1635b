"""check-paper: what a PDF is, beside the paper as it is stored and the keys of the firm's seal."""

from __future__ import annotations

import argparse
import sys
from pathlib import Path
from typing import Any, NamedTuple

from heaterapp import archive, sealing
from heaterapp.opening import Stopped, open_archive

NAME = "check-paper"
SAYS = "say what a PDF is: the stored paper, sealed, saved again, changed; exit 1 unless it is the paper"
WRONG = "No paper has this number with this code. Check both against the paper."


class Compared(NamedTuple):
    """What a file is held against: the stored papers, every certificate, and how their record stands."""

    stored: list[sealing.Stored]
    certificates: list[bytes]
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
        compared = _compared(store, chosen.number or sealing.number_in(body), bool(chosen.number))
    finally:
        store.close()
    looked = sealing.look(body, compared.certificates, compared.stored)
    said = sealing.said_of(looked)
    if not compared.stored:
        said.append("It was compared with no stored paper: name the number printed on it, --number C-000123.")
    print("\n".join([*said, *compared.standing]), file=sys.stdout if looked.sound else sys.stderr)
    return 0 if looked.sound else 1


def _compared(store: Any, number: str, asked: bool) -> Compared:
    stored: list[sealing.Stored] = []
    certificates: list[bytes] = []
    standing: list[str] = []
    for organisation in store.origins.organisations():
        certificates += [one.certificate for one in store.seals.all_of(organisation)]
        try:
            hit = store.records.hit(organisation, number)
        except archive.NotFound:
            continue
        standing.append(f"{hit.number}: {_state(hit)}.")
        for name in () if hit.erased else store.records.file_names(organisation, hit.record):
            if name.endswith(".pdf"):
                body = store.records.file(organisation, hit.record, name)
                stored.append(sealing.Stored(hit.number, name, body))
    if asked and not standing:
        raise Stopped(f"{number[:40]}: no record has this number.")
    return Compared(stored, certificates, standing)


def _state(hit: Any) -> str:
    if hit.erased:
        return "its content was erased here, so nothing is left to compare with"
    if hit.state == "replaced":
        return f"replaced by {hit.superseded_by_number}"
    return "void: it holds no more" if hit.state == "void" else "the current paper of its job"
