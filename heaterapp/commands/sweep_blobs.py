"""sweep-blobs: take away files in the place for blobs that no record names."""

from __future__ import annotations

import argparse

from heaterapp.archive import BlobsFailed
from heaterapp.opening import Stopped, open_archive

NAME = "sweep-blobs"
SAYS = "take away files outside the database that nothing names, none younger than a day; 'serve' does so too"


def options(parser: argparse.ArgumentParser) -> None:
    pass


def run(chosen: argparse.Namespace) -> int:
    store = open_archive()
    try:
        swept = store.sweep_blobs()
    except BlobsFailed as refused:
        raise Stopped(f"{refused}.") from refused
    finally:
        store.close()
    print(f"{swept} files were taken away." if swept else "Nothing was left over.")
    return 0
