"""What was taken away after a backup is taken away again in the place it was restored to."""

from collections import Counter
from collections.abc import Collection
from dataclasses import dataclass, field
from pathlib import Path

from sqlalchemy import Connection, select

from heaterapp.archive import office_tables, tables
from heaterapp.archive.backups import later
from heaterapp.archive.backups.later import Later
from heaterapp.archive.database import Database
from heaterapp.archive.erasing_jobs import JobErasure
from heaterapp.archive.erasure import Erasure
from heaterapp.archive.errors import ArchiveError
from heaterapp.archive.passkeys import Passkeys
from heaterapp.archive.people import People, read_person
from heaterapp.archive.sessions import Sessions
from heaterapp.archive.shares import Shares
from heaterapp.archive.throttle import Throttle

WHY = "erased after the backup that was restored"
FOR_GOOD = ("erase", "erase_job")


@dataclass(frozen=True)
class Again:
    """How a restore dealt with what was taken away after its backup.

    path  the list it read, None where there is none
    acts  act -> how many were done again, or would be
    by_hand  what could not be done: act -> ids of people, told to be done by hand
    done  whether they were done
    """

    path: Path | None
    acts: Counter[str] = field(default_factory=Counter)
    by_hand: dict[str, list[int | str]] = field(default_factory=dict)
    done: bool = True


def open_acts(database: Database, lines: Collection[Later]) -> list[Later]:
    """Return those of a list's acts that this archive knows nothing of: the last one on each thing."""
    last: dict[tuple[int, str, int | str], Later] = {}
    with database.read() as connection:
        heads = {row.organisation: row.seq for row in connection.execute(select(tables.log_head))}
        for one in lines:
            # What is erased stays erased, whatever log it stands in; the rest may have been taken back since.
            if one.organisation not in heads or (
                one.act not in FOR_GOOD and one.entry <= heads[one.organisation]
            ):
                continue
            if one.is_of(later.identity_of(connection, one)):
                key = "closed" if one.act == "opened" else one.act
                last.pop((one.organisation, key, one.target), None)
                last[one.organisation, key, one.target] = one
        return [one for one in last.values() if not _is_so(connection, one)]


def do_again(database: Database, acts: Collection[Later]) -> dict[str, list[int | str]]:
    """Do these acts as the program, and return what it cannot do: act -> ids. Each stands in the log."""
    left: dict[str, list[int | str]] = {}
    people = People(database, Throttle(database), Sessions(database))
    doing = {
        "erase": lambda one: Erasure(database).again(one.organisation, int(one.target), WHY),
        "erase_job": lambda one: JobErasure(database).again(one.organisation, str(one.target), WHY),
        "share_revoked": lambda one: Shares(database).revoke(one.organisation, int(one.target)),
        "closed": lambda one: people.save(one.organisation, int(one.target), disabled=True),
        "opened": lambda one: people.save(one.organisation, int(one.target), disabled=False),
        "role": lambda one: people.save(one.organisation, int(one.target), role=one.to),
        "passkey": lambda one: Passkeys(database).remove_by_id(one.organisation, int(one.target)),
    }
    for one in sorted(acts, key=lambda one: one.act != "erase_job"):
        try:
            if one.act == "password":
                raise ArchiveError
            doing[one.act](one)
        except ArchiveError:
            left.setdefault(one.act, []).append(one.target)
    return left


def _is_so(connection: Connection, one: Later) -> bool:
    """Whether an act has come about here already."""
    own = one.organisation
    if one.act == "erase":
        payload = tables.payload
        kept = (payload.c.organisation == own, payload.c.record == one.target, payload.c.salt.is_not(None))
        return connection.execute(select(payload.c.name).where(*kept).limit(1)).first() is None
    if one.act == "erase_job":
        job = tables.job
        this = (job.c.organisation == own, job.c.id == one.target)
        return connection.execute(select(job.c.state).where(*this)).scalar() == "erased"
    if one.act == "share_revoked":
        share = tables.share
        this = (share.c.organisation == own, share.c.id == one.target)
        return connection.execute(select(share.c.revoked_at).where(*this)).scalar() is not None
    if one.act == "passkey":
        passkey = office_tables.passkey
        this = (passkey.c.organisation == own, passkey.c.id == one.target)
        return connection.execute(select(passkey.c.id).where(*this)).first() is None
    if one.act == "password":
        return False
    person = read_person(connection, own, int(one.target))
    return person.role == one.to if one.act == "role" else person.disabled == (one.act == "closed")
