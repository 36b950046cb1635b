"""What was taken away for good, in a list beside the backups, so that a restore can take it away again.

A backup knows nothing of what came after it. So the folder of the backups holds one small file, outside
every database: a line for each erasure, void, legal hold, closed link, closed account, changed role, set
password and removed passkey, with ids and salted digests alone (listing.py). It is filled from the log of
the archive in use: a line that was lost comes again with the next look, if that log has the act; what a
log had that a restore put an end to stands in the list alone.
"""

import fcntl
import hashlib
import os
from collections.abc import Iterator, Mapping
from contextlib import suppress
from pathlib import Path
from typing import IO, Any

from sqlalchemy import Connection, select

from heaterapp.archive import tables
from heaterapp.archive.backups.listing import (
    FIRST,
    LIFE,
    AsOf,
    Damaged,
    Later,
    Listed,
    Things,
    body_of,
    is_plain,
    is_whole,
    parsed,
    written,
)
from heaterapp.archive.backups.refused import BackupRefused, reason
from heaterapp.archive.canonical import new_salt, sha256
from heaterapp.archive.database import Database
from heaterapp.archive.shapes import ROLES

NAME = "later-erasures.jsonl"
LARGEST = 200_000_000
ACTS = ("erase", "erase_job", "void", "hold", "hold_lifted", "share_revoked", "person", "passkey")
PERSONS = ("closed", "opened", "role", "password")
Key = tuple[int, int, str]
_log, _head = tables.log, tables.log_head


class Noting:
    """Keeps the list of one folder up to date; remembers how far it has read the list and the log."""

    def __init__(self, database: Database, folder: Path):
        self._database, self._path = database, folder / NAME
        self._forget()

    def _forget(self) -> None:
        self._end, self._last, self._tail = 0, "", b""
        self._there: set[Key] = set()
        self._firsts: dict[int, str] = {}
        self._upto: dict[int, tuple[int, str]] = {}

    def note(self) -> int:
        """Bring the list up to date with the archive's log; return how many acts it took.

        Several processes and machines may do so at once. Of a damaged list the sound beginning stays, and
        the whole is put aside. Raises OSError, and what a database raises; then the next look mends it.
        """
        with open(self._path, "a+b", opener=_private) as held:
            fcntl.flock(held, fcntl.LOCK_EX)
            with self._database.read() as connection:
                heads = {row.organisation: (row.seq, row.digest) for row in connection.execute(select(_head))}
                # A database that was put back under a running program: all is looked at anew.
                if any(not _stands(connection, heads, own, *at) for own, at in self._upto.items()):
                    self._forget()
                found = self._read(held)
                self._there |= {one.key for one in found.lines}
                grown = [own for own, head in heads.items() if self._upto.get(own) != head]
                after = {own: self._upto.get(own, (0, ""))[0] for own in grown}
                fresh = list(acts(connection, self._there, after))
                as_of = AsOf(self._database.now(), {
                    own: (first, *heads[own]) for own, first in self._first_of(connection, heads)
                })  # fmt: skip
                lives = _begun(connection, heads, found.as_of, as_of)
            self._write(held, found, [*lives, *fresh], as_of)
        # What was committed while the log was read may stand behind the heads, and would come once more.
        self._there = {one.key for one in fresh}
        self._upto = heads
        return len(fresh)

    def _read(self, held: IO[bytes]) -> Listed:
        """What the list tells beyond what was read of it before; all of it where that is not as it was."""
        if self._end and held.seek(0, os.SEEK_END) >= self._end:
            held.seek(self._end - len(self._tail))
            if held.read(len(self._tail)) == self._tail:
                try:
                    more = parsed(held.read(), self._last)
                    own = (self._end + more.end, more.last, more.tail or self._tail)
                    return Listed(more.lines, more.as_of, *own)
                except Damaged:
                    pass
        self._forget()
        held.seek(0)
        whole = held.read()
        try:
            return parsed(whole)
        except Damaged as damaged:
            mark = hashlib.sha256(whole).hexdigest()[:12]
            self._path.with_name(f"{NAME}.damaged-{mark}").write_bytes(whole)
            return damaged.before

    def _write(self, held: IO[bytes], found: Listed, lines: list[Later], as_of: AsOf) -> None:
        text, last = [] if found.end else [FIRST], found.last or sha256(FIRST)
        for one in lines:
            line, last = written(one, last)
            text.append(line)
        own = "".join(f"{line}\n" for line in text).encode()
        # What stands behind is the moment of the look before, or what somebody who was killed has begun.
        held.truncate(found.end)
        held.write(own + f"{written(as_of, last)[0]}\n".encode())
        held.flush()
        if own:
            os.fsync(held.fileno())
        self._end, self._last = found.end + len(own), last
        self._tail = f"{text[-1]}\n".encode() if text else found.tail

    def _first_of(self, connection: Connection, heads: Mapping[int, Any]) -> Iterator[tuple[int, str]]:
        for own in heads:
            if own not in self._firsts:
                this = (_log.c.organisation == own, _log.c.seq == 1)
                first = connection.execute(select(_log.c.digest).where(*this)).scalar()
                if first is None:
                    continue
                self._firsts[own] = first
            yield own, self._firsts[own]


def note(database: Database, folder: Path) -> int:
    """Bring the list in a folder up to date, once: see `Noting`."""
    return Noting(database, folder).note()


def read(path: Path) -> Listed | None:
    """Return what a list tells, None where there is none. Raises BackupRefused naming the first bad line."""
    try:
        if path.stat().st_size > LARGEST:
            raise BackupRefused(f"{path} is too long to be a list of later erasures")
        with path.open("rb") as held:
            # Not in the middle of a look; what lies where nothing can be locked is written by nobody.
            with suppress(OSError):
                fcntl.flock(held, fcntl.LOCK_SH)
            body = held.read()
    except FileNotFoundError:
        return None
    except OSError as refused:
        raise BackupRefused(f"{path} cannot be read: {reason(refused)}") from refused
    try:
        return parsed(body)
    except Damaged as damaged:
        raise BackupRefused(
            f"{path} is damaged at line {damaged.number}: name a sound copy with --later, or restore with"
            " --as-it-was and erase again by hand what was erased after the backup"
        ) from None


def acts(connection: Connection, there: set[Key], after: Mapping[int, int] | None = None) -> Iterator[Later]:
    """The acts in an archive's log that belong into the list and are not `there`; unreadable ones are not.

    after  organisation -> the entry behind which to look; every organisation from its first when left out
    """
    if after is None:
        after = dict.fromkeys(connection.execute(select(_head.c.organisation)).scalars().all(), 0)
    things = Things(connection)
    # A firm at a time, by the index of its acts: the log may be long, and this is looked at every minute.
    for own, seq in after.items():
        these = (_log.c.organisation == own, _log.c.act.in_(ACTS), _log.c.seq > seq)
        for entry in connection.execute(select(_log).where(*these).order_by(_log.c.seq)):
            if (own, entry.seq, entry.digest) in there:
                continue
            said = _said(entry.act, entry.record, body_of(entry.body))
            if said is None:
                continue
            act, target, more = said
            at = (own, entry.seq, entry.digest, entry.at)
            one = things.signed(Later(act, *at, target, salt=new_salt().hex(), **more))
            if one is not None:
                yield one


def _said(act: str, record: int | None, body: dict[str, Any]) -> tuple[str, int | str, dict[str, Any]] | None:
    """The act, the id of what it was done to, and what more; None where it cannot be read."""
    what, more = body.get("what"), {}
    target: Any
    if act in ("erase", "void"):
        target = record
        if act == "void":
            more = {"by": body.get("voided_by")}
    elif act == "erase_job":
        target = body.get("job")
    elif act in ("hold", "hold_lifted"):
        target, more = "", {"hold": body.get("hold")}
        if act == "hold":
            target, more["by"] = body.get("job_id"), body.get("placed_by")
    elif act == "share_revoked":
        target = body.get("share")
    elif act == "person":
        if what not in PERSONS or (what == "role" and body.get("to") not in ROLES):
            return None
        act, target, more = str(what), body.get("person"), {"to": body["to"]} if what == "role" else {}
    else:
        if what != "removed":
            return None
        target = body.get("passkey")
    numbers = [value for name, value in more.items() if name != "to"]
    if not all(map(is_whole, numbers)):
        return None
    if act in ("erase_job", "hold", "hold_lifted"):
        return (act, target, more) if is_plain(target) else None
    return (act, target, more) if is_whole(target) else None


def _stands(
    connection: Connection, heads: Mapping[int, tuple[int, str]], own: int, seq: int, digest: str
) -> bool:
    """Whether an organisation's log holds this entry."""
    if own not in heads or seq > heads[own][0]:
        return False
    if seq in (0, heads[own][0]):
        return seq == 0 or digest == heads[own][1]
    this = (_log.c.organisation == own, _log.c.seq == seq)
    return connection.execute(select(_log.c.digest).where(*this)).scalar() == digest


def _begun(
    connection: Connection, heads: Mapping[int, tuple[int, str]], before: AsOf | None, now: AsOf
) -> list[Later]:
    """A line for each log that does not go on from where the list saw it last: a restore brought it."""
    seen = before.heads if before is not None else {}
    return [
        Later(LIFE, own, seq, head, now.at, 0)
        for own, (first, seq, head) in now.heads.items()
        if own in seen and seen[own][0] == first and not _stands(connection, heads, own, *seen[own][1:])
    ]


def _private(path: str, flags: int) -> int:
    return os.open(path, flags, 0o600)
