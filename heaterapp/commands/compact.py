"""compact: take what was erased out of the database's own files as well."""

from __future__ import annotations

import argparse

from heaterapp.opening import open_archive

NAME = "compact"
SAYS = "take what was erased out of the database's files; nobody writes meanwhile"


def options(parser: argparse.ArgumentParser) -> None:
    """It takes none."""


def run(chosen: argparse.Namespace) -> int:
    """Compact the database once."""
    store = open_archive()
    try:
        store.database.compact()
    finally:
        store.close()
    print("Compacted: nothing erased is left in the database's files. Backups made before keep it.")
    return 0
