"""python -m heaterapp import FILE: take in everything of a firm, from the ZIP that was taken along."""

from __future__ import annotations

import argparse
from pathlib import Path

from heaterapp.archive.moving import ImportRefused
from heaterapp.opening import Stopped, open_archive

NAME = "import"
SAYS = "take in everything of a firm, whole and verified, into a new, empty archive"


def options(parser: argparse.ArgumentParser) -> None:
    """Name the arguments."""
    parser.add_argument("file", type=Path, help="the ZIP that 'export --form whole' or the page made")


def run(chosen: argparse.Namespace) -> int:
    """Take the file in whole or not at all. Raises Stopped."""
    store = open_archive()
    try:
        with chosen.file.open("rb") as file:
            brought = store.moving.bring(file)
    except OSError as refused:
        raise Stopped(f"{chosen.file}: {refused.strerror}. Nothing was changed.") from refused
    except ImportRefused as refused:
        raise Stopped(f"Nothing was changed. {refused}") from refused
    finally:
        store.close()
    if brought.here_already:
        print("All of it is here already; nothing was changed.")
    else:
        print(
            f"{brought.name}: {brought.records} records are here and verified. Give its people new passwords."
        )
    return 0
