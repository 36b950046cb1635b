"""backup FOLDER: a verified copy of the archive, made while the program runs."""

from __future__ import annotations

import argparse
import socket
import sys
from pathlib import Path

from heaterapp.archive.backups import BackupRefused
from heaterapp.opening import Stopped, configuration, open_archive

NAME = "backup"
SAYS = "make a verified copy of the archive while it runs"


def options(parser: argparse.ArgumentParser) -> None:
    parser.add_argument("folder", type=Path, help="where backups lie, best on another disk")
    parser.add_argument("--keep", type=_keep, metavar="N", help="let N of this archive stay, this one too")


def run(chosen: argparse.Namespace) -> int:
    """Make one backup and print where it is."""
    config, store = configuration(), open_archive()
    try:
        made = store.backups.make(chosen.folder, Path(config["DATA_DIR"]) / "secret-key", chosen.keep)
        store.backups.timetable.note(f"{made.path.name} {made.size} {socket.gethostname()}")
    except BackupRefused as refused:
        raise Stopped(f"{refused}.") from refused
    finally:
        store.close()
    seen = made.manifest["verified"]
    print(
        f"{made.path}: {made.size / 1e6:.1f} MB, {seen['records']} records, {seen['contents']} contents,"
        f" {seen['entries']} log entries, verified."
    )
    if made.unnoted:
        print(f"{made.unnoted}.", file=sys.stderr)
    return 0


def _keep(text: str) -> int:
    if not text.isascii() or not text.isdecimal() or len(text) > 4 or int(text) < 1:
        raise argparse.ArgumentTypeError("a whole number from 1 to 9999 was expected")
    return int(text)
