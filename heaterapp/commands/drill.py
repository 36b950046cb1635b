"""drill BACKUP: try whether a backup could really be put back."""

from __future__ import annotations

import argparse
from pathlib import Path

from heaterapp import setup_check

NAME = "drill"
SAYS = "put a backup back into a passing place, compare, verify, make records again; exit 1 when one differs"


def options(parser: argparse.ArgumentParser) -> None:
    parser.add_argument("backup", type=Path, help="the folder of one backup, heaterapp-...Z")
    parser.add_argument(
        "--recompute", type=_count, default=200, metavar="N",
        help="how many records are made again with their papers (default 200)",
    )  # fmt: skip
    parser.add_argument("--seed", type=_count, help="draw the same records again")
    parser.add_argument("--place", type=Path, help="a folder on the disk to try it on")


def run(chosen: argparse.Namespace) -> int:
    """Go through the steps, a line each. Returns 1 when anything differs or is refused."""
    from heaterapp.certificate import render_files
    from heaterapp.drilling import drill
    from heaterapp.opening import Stopped, open_archive

    setup_check.require()
    try:
        live = open_archive()
    except Stopped:
        # A backup is also tried where nothing is in use; then nobody vouches for its rules.
        live = None
    try:
        good = drill(
            chosen.backup, chosen.recompute, render=render_files, place=chosen.place, seed=chosen.seed,
            live=live,
        )  # fmt: skip
    finally:
        if live is not None:
            live.close()
    return 0 if good else 1


def _count(text: str) -> int:
    if not text.isascii() or not text.isdecimal() or len(text) > 7:
        raise argparse.ArgumentTypeError("a whole number from 0 to 9999999 was expected")
    return int(text)
