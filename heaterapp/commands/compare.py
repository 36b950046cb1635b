"""compare A B: hold two archives against each other, row for row."""

from __future__ import annotations

import argparse

from heaterapp.archive import BlobsFailed, blobs
from heaterapp.archive.backups import BackupRefused, differences, open_place, rows
from heaterapp.opening import Stopped, configuration

NAME = "compare"
SAYS = "name every row and field in which two archives differ; exit 0 when none does"


def options(parser: argparse.ArgumentParser) -> None:
    what = "a data folder, the folder of one backup, or a database URL"
    parser.add_argument("one", metavar="A", help=what)
    parser.add_argument("other", metavar="B", help=what)


def run(chosen: argparse.Namespace) -> int:
    """Print each difference, then how many."""
    places = []
    config = configuration()
    try:
        where = blobs.opened(config["BLOBS"], config["S3_ENDPOINT"]) if config["BLOBS"] else None
        fetch = where.get if where is not None else rows.nowhere
        for named in (chosen.one, chosen.other):
            places.append(open_place(named, fetch))
        count = 0
        for difference in differences(*places):
            print(difference)
            count += 1
    except (BackupRefused, BlobsFailed) as refused:
        raise Stopped(f"{refused}.") from refused
    finally:
        for place in places:
            place.close()
    print("1 difference." if count == 1 else f"{count} differences.")
    return 1 if count else 0
