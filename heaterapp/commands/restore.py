"""restore BACKUP: put a backup back into the empty place that the settings name."""

from __future__ import annotations

import argparse
from collections.abc import Iterator
from pathlib import Path

from heaterapp.archive.backups import BackupRefused, restore
from heaterapp.archive.backups.again import Again
from heaterapp.archive.backups.later import NAME as NAME_OF_LIST
from heaterapp.opening import Stopped, configuration

NAME = "restore"
SAYS = "put a backup back into an empty data folder or PostgreSQL database; every sign-in ends"


def options(parser: argparse.ArgumentParser) -> None:
    parser.add_argument("backup", type=Path, help="the folder of one backup, heaterapp-...Z")
    parser.add_argument(
        "--later", type=Path, metavar="FILE",
        help=f"the list of what was erased or closed later, where it is not {NAME_OF_LIST} beside the backup",
    )  # fmt: skip
    parser.add_argument(
        "--as-it-was", action="store_true", help="leave what was erased or closed later as the backup has it"
    )


def run(chosen: argparse.Namespace) -> int:
    """Restore into the place that HEATERAPP_DATA and HEATERAPP_DATABASE_URL name."""
    config = configuration()
    try:
        said = restore(
            chosen.backup, config["DATA_DIR"], config["DATABASE_URL"],
            as_it_was=chosen.as_it_was, later_list=chosen.later,
        )  # fmt: skip
    except BackupRefused as refused:
        raise Stopped(f"{refused}.") from refused
    where = "the database, its key" if config["DATABASE_URL"] else "the archive"
    print(
        f"Restored to {Path(config['DATA_DIR']).resolve()}: {where}, as of {said['made_at']},"
        f" {said['verified']['records']} records, verified. Everybody signs in again."
    )
    for line in told(said["again"], said["made_at"]):
        print(line)
    return 0


WORDS = {
    "erase_job": ("job erased", "jobs erased"), "erase": ("record erased", "records erased"),
    "void": ("record voided", "records voided"), "hold": ("legal hold placed", "legal holds placed"),
    "hold_lifted": ("legal hold lifted", "legal holds lifted"),
    "share_revoked": ("link closed", "links closed"), "closed": ("account closed", "accounts closed"),
    "opened": ("account opened", "accounts opened"), "role": ("role changed", "roles changed"),
    "passkey": ("passkey removed", "passkeys removed"), "password": ("password set", "passwords set"),
}  # fmt: skip


def told(again: Again, made_at: str) -> Iterator[str]:
    """Say what of later erasures and closings was done again, and what is left to do by hand."""
    if again.path is None:
        why = "It was put back as it was" if not again.done else f"No {NAME_OF_LIST} lies beside this backup"
        yield (
            f"{why}: what was erased, revoked or closed after {made_at} is back as the backup has it."
            " Erase and close it again."
        )
        return
    made_by = f"{again.path} tells all until {again.reaches}"
    if not again.reaches:
        made_by = (
            f"{again.path} does not say until when it tells all of this archive: it may be cut short,"
            " or another archive's"
        )
    elif again.reaches < made_at:
        made_by += ", before this backup was made: what came after that moment is not known"
    yield f"{made_by}."
    acts = ", ".join(f"{count} {WORDS[act][count != 1]}" for act, count in sorted(again.acts.items()))
    if not again.done:
        yield f"Put back as it was. Done after {made_at} and not done again: {acts or 'nothing'}."
        return
    yield f"By {again.path}, done again after {made_at}: {acts or 'nothing'}."
    for act, ids in sorted(again.by_hand.items()):
        which = ", ".join(str(one) for one in ids)
        if act == "password":
            yield f"A password was set later, and the one before holds again: set it anew for person {which}."
        else:
            yield f"Could not be done again, so do it by hand: {WORDS[act][1]}, {which}."
