"""restore BACKUP: put a backup back into the empty place that the settings name."""

from __future__ import annotations

import argparse
from pathlib import Path

from heaterapp.archive.backups import BackupRefused, restore
from heaterapp.opening import Stopped, configuration

NAME = "restore"
SAYS = "put a backup back into an empty data folder or PostgreSQL database; every sign-in ends"


def options(parser: argparse.ArgumentParser) -> None:
    parser.add_argument("backup", type=Path, help="the folder of one backup, heaterapp-...Z")


def run(chosen: argparse.Namespace) -> int:
    """Restore into the place that HEATERAPP_DATA and HEATERAPP_DATABASE_URL name."""
    config = configuration()
    try:
        said = restore(chosen.backup, config["DATA_DIR"], config["DATABASE_URL"])
    except BackupRefused as refused:
        raise Stopped(f"{refused}.") from refused
    where = "the database, its key" if config["DATABASE_URL"] else "the archive"
    print(
        f"Restored to {Path(config['DATA_DIR']).resolve()}: {where}, as of {said['made_at']},"
        f" {said['verified']['records']} records, verified. Everybody signs in again."
    )
    return 0
