"""What was taken away after a backup is taken away again in the place it was restored to."""

from collections import Counter
from collections.abc import Callable, Sequence
from dataclasses import dataclass, field
from pathlib import Path
from typing import Any

from sqlalchemy import Connection, select

from heaterapp.archive import office_tables, tables
from heaterapp.archive.backups import later
from heaterapp.archive.backups.listing import KIND, LIFE, Later, Listed, Things
from heaterapp.archive.backups.refused import BackupRefused
from heaterapp.archive.database import Database
from heaterapp.archive.erasing_jobs import JobErasure
from heaterapp.archive.erasure import Erasure
from heaterapp.archive.errors import ArchiveError
from heaterapp.archive.holds import Holds
from heaterapp.archive.passkeys import Passkeys
from heaterapp.archive.people import People, read_person
from heaterapp.archive.sessions import Sessions
from heaterapp.archive.shares import Shares
from heaterapp.archive.throttle import Throttle
from heaterapp.archive.voiding import Voiding

WHY = "erased after the backup that was restored"
WHY_VOID = "voided after the backup that was restored"
WHY_HELD = "on hold after the backup that was restored"
WHY_LIFTED = "lifted after the backup that was restored"
FOR_GOOD = ("erase", "erase_job", "void", "share_revoked", "passkey")
"""What nobody can take back."""
_FIRST = ("void", "erase_job", "erase")
_LAST = ("hold",)
_AT_ONCE = 500


@dataclass(frozen=True)
class Again:
    """How a restore dealt with what was taken away after its backup.

    path     the list it read, None where there is none
    acts     act -> how many were done again, or would be
    by_hand  what could not be done, told to be done by hand: act -> ids, or a record's number
    done     whether they were done
    reaches  until when the list tells all; empty where it does not say so of this archive
    """

    path: Path | None
    acts: Counter[str] = field(default_factory=Counter)
    by_hand: dict[str, list[int | str]] = field(default_factory=dict)
    done: bool = True
    reaches: str = ""


def must_tell_all(database: Database, listed: Listed, path: Path) -> None:
    """Raise BackupRefused where a list tells less than this archive's own log."""
    if count := lacking(database, listed):
        raise BackupRefused(
            f"{path} does not tell of {count} {'act' if count == 1 else 'acts'} (erased, closed and the"
            " like) in the backup's own log: it is older than the backup, cut short, or another archive's."
            " Name the right one with --later, or restore with --as-it-was and erase and close again by hand"
        )


def lacking(database: Database, listed: Listed) -> int:
    """Return how many acts in this archive's own log a list does not tell: a newer or its own tells all."""
    there = {one.key for one in listed.lines}
    with database.read() as connection:
        return sum(1 for _ in later.acts(connection, there))


def reaches(database: Database, listed: Listed) -> str:
    """Return until when a list tells all of every organisation here; empty where it does not say so."""
    if listed.as_of is None:
        return ""
    firsts = {own: first for own, (first, _, _) in listed.as_of.heads.items()}
    log = tables.log
    with database.read() as connection:
        here = connection.execute(select(log.c.organisation, log.c.digest).where(log.c.seq == 1)).all()
    return listed.as_of.at if here and all(firsts.get(own) == digest for own, digest in here) else ""


def open_acts(database: Database, listed: Listed) -> list[Later]:
    """Return those of a list's acts that this archive knows nothing of, where they are the last on a thing.

    A line that this archive's log holds is known. What stands before a known one and is not known itself
    is of a log that a restore ended, and past: what holds of it was done again then. But what is for good
    stays so.
    """
    last: dict[tuple[int, str, int | str, int], Later] = {}
    with database.read() as connection:
        known, things = _known(connection, listed.lines), Things(connection)
        upto = {one.organisation: at for at, one in enumerate(listed.lines) if one.key in known}
        for at, one in enumerate(listed.lines):
            if one.act == LIFE or one.key in known:
                continue
            if one.act not in FOR_GOOD and at < upto.get(one.organisation, -1):
                continue
            if things.has(one):
                last[one.thing] = one
            elif one.act == "hold_lifted":
                # A hold that was placed and lifted after the backup: nothing of it is here, and nothing goes.
                last.pop(one.thing, None)
        return [one for one in last.values() if not _is_so(connection, one)]


def do_again(database: Database, acts: Sequence[Later]) -> dict[str, list[int | str]]:
    """Do these acts as the program, and return what it cannot do: act -> ids. Each stands in the log."""
    people = People(database, Throttle(database), Sessions(database))
    holds, voiding = Holds(database), Voiding(database)
    doing: dict[str, Callable[[int, Any, Later], object]] = {
        "erase": lambda own, target, one: Erasure(database).again(own, target, WHY),
        "erase_job": lambda own, target, one: JobErasure(database).again(own, target, WHY),
        "void": lambda own, target, one: voiding.again(own, target, one.by, WHY_VOID),
        "hold": lambda own, target, one: holds.place_again(own, target, one.by, WHY_HELD),
        "hold_lifted": lambda own, target, one: holds.lift_again(own, one.hold, WHY_LIFTED),
        "share_revoked": lambda own, target, one: Shares(database).revoke(own, target),
        "closed": lambda own, target, one: people.save(own, target, disabled=True),
        "opened": lambda own, target, one: people.save(own, target, disabled=False),
        "role": lambda own, target, one: people.save(own, target, role=one.to),
        "passkey": lambda own, target, one: Passkeys(database).remove_by_id(own, target),
    }
    with database.read() as connection:
        things = Things(connection)
        # Whoever voided or held is named by id: it must be the same person here, or nobody is named.
        signed = [one for one in acts if one.act not in ("void", "hold") or things.has_person_of(one)]
    order = sorted((one for one in signed if one.act in doing), key=_rank)
    left = [one for one in acts if one not in order]
    while order:
        # The last owner may not go before the next one is made: what is refused is tried after the rest.
        refused = []
        for one in order:
            try:
                doing[one.act](one.organisation, one.target, one)
            except ArchiveError:
                refused.append(one)
        if len(refused) == len(order):
            break
        order = refused
    told: dict[str, list[int | str]] = {}
    with database.read() as connection:
        for one in [*left, *order]:
            told.setdefault(one.act, []).append(_named(connection, one))
    return told


def _rank(one: Later) -> int:
    """Erasures go before what may stand in their way, and after the void whose reason they empty."""
    if one.act in _FIRST:
        return _FIRST.index(one.act)
    return len(_FIRST) + (one.act in _LAST)


def _known(connection: Connection, lines: Sequence[Later]) -> set[later.Key]:
    """Those of the lines whose entry stands in this archive's log."""
    log, known = tables.log, set()
    for own in {one.organisation for one in lines}:
        seqs = sorted({one.entry for one in lines if one.organisation == own})
        for at in range(0, len(seqs), _AT_ONCE):
            these = (log.c.organisation == own, log.c.seq.in_(seqs[at : at + _AT_ONCE]))
            rows = connection.execute(select(log.c.seq, log.c.digest).where(*these))
            known |= {(own, seq, digest) for seq, digest in rows}
    return known & {one.key for one in lines}


def _named(connection: Connection, one: Later) -> int | str:
    if KIND[one.act] != "record":
        return one.target
    record = tables.record
    this = (record.c.organisation == one.organisation, record.c.id == one.target)
    return connection.execute(select(record.c.number).where(*this)).scalar() or one.target


def _is_so(connection: Connection, one: Later) -> bool:
    """Whether an act has come about here already."""
    own = one.organisation
    if one.act == "erase":
        payload = tables.payload
        kept = (payload.c.organisation == own, payload.c.record == one.target, payload.c.salt.is_not(None))
        return connection.execute(select(payload.c.name).where(*kept).limit(1)).first() is None
    if one.act in ("erase_job", "hold"):
        job = tables.job
        this = (job.c.organisation == own, job.c.id == one.target)
        return connection.execute(select(job.c.state).where(*this)).scalar() == "erased"
    if one.act == "void":
        void = office_tables.void
        this = (void.c.organisation == own, void.c.record == one.target)
        return connection.execute(select(void.c.record).where(*this)).first() is not None
    if one.act == "hold_lifted":
        hold = office_tables.hold
        this = (hold.c.organisation == own, hold.c.id == one.hold)
        return connection.execute(select(hold.c.lifted_at).where(*this)).scalar() is not None
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
