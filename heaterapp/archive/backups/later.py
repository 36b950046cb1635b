"""What was taken away for good, in a list beside the backups, so that a restore can take it away again.

A backup knows nothing of what came after it. So the folder of the backups holds one small file, outside
every database: a line for each erasure, closed link, closed account, changed role, set password and
removed passkey, with ids and salted digests alone. Each line is chained to the one before by SHA-256.
It is filled from the log, so a line that was lost comes again with the next look.
"""

import fcntl
import hashlib
import json
import os
from collections.abc import Callable, Iterator
from dataclasses import asdict, dataclass
from itertools import chain
from pathlib import Path
from typing import Any

from sqlalchemy import Connection, select

from heaterapp.archive import tables
from heaterapp.archive.backups.refused import BackupRefused, reason
from heaterapp.archive.canonical import canonical, new_salt, sha256
from heaterapp.archive.database import Database

NAME = "later-erasures.jsonl"
FIRST = canonical({"format": "heaterapp later erasures 1"})
LARGEST = 200_000_000
ACTS = ("erase", "erase_job", "share_revoked", "person", "passkey")
PERSONS = ("closed", "opened", "role", "password")


@dataclass(frozen=True)
class Later:
    """One act, by ids: `of` is the salted digest of what it was done to, which no other archive has."""

    act: str
    """erase, erase_job, share_revoked, closed, opened, role, password or passkey."""
    organisation: int
    entry: int
    head: str
    at: str
    target: int | str
    to: str
    salt: str
    of: str

    def is_of(self, identity: str | None) -> bool:
        """Say whether what is found under its id is what the act was done to."""
        return identity is not None and _of(self.salt, identity) == self.of


def note(database: Database, folder: Path) -> int:
    """Bring the list in a folder up to date with the archive's log; return how many lines it took.

    Several processes and machines may do so at once. A damaged list is put aside and begun anew.
    Raises OSError.
    """
    path = folder / NAME
    with open(path, "a+b", opener=_private) as held:
        fcntl.flock(held, fcntl.LOCK_EX)
        held.seek(0)
        whole, _, torn = held.read().rpartition(b"\n")
        try:
            known, last = _read(whole + b"\n") if whole else ([], sha256(FIRST))
        except ValueError:
            mark = hashlib.sha256(whole).hexdigest()[:12]
            aside = path.with_name(f"{NAME}.damaged-{mark}")
            aside.write_bytes(whole + b"\n" + torn)
            held.truncate(0)
            whole, torn, known, last = b"", b"", [], sha256(FIRST)
        if torn:
            # Somebody was killed in the middle of a line: the log says it again.
            held.truncate(len(whole) + 1 if whole else 0)
        there = {(one.organisation, one.entry, one.head) for one in known}
        with database.read() as connection:
            fresh = list(_acts(connection, there))
        text = [] if whole else [FIRST]
        for one in fresh:
            line = {**asdict(one), "previous": last}
            last = sha256(canonical(line))
            text.append(canonical({**line, "digest": last}))
        if text:
            held.write(("\n".join(text) + "\n").encode())
            held.flush()
            os.fsync(held.fileno())
    return len(fresh)


def read(path: Path) -> list[Later] | None:
    """Return what a list tells, None where there is none. Raises BackupRefused naming the first bad line."""
    try:
        if path.stat().st_size > LARGEST:
            raise BackupRefused(f"{path} is too long to be a list of later erasures")
        body = path.read_bytes()
    except FileNotFoundError:
        return None
    except OSError as refused:
        raise BackupRefused(f"{path} cannot be read: {reason(refused)}") from refused
    try:
        return _read(body[: body.rfind(b"\n") + 1])[0]
    except ValueError as damaged:
        raise BackupRefused(
            f"{path} is damaged at line {damaged}: name a sound copy with --later, or restore with"
            " --as-it-was and erase again by hand what was erased after the backup"
        ) from None


def identity_of(connection: Connection, one: Later) -> str | None:
    """Return what stands under the id of an act, as its digest was made of it; None where nothing does."""
    return _IDENTITY[_KIND[one.act]](connection, one.organisation, one.target)


def _read(body: bytes) -> tuple[list[Later], str]:
    """The lines, and the digest of the last. Raises ValueError with the number of the first bad line."""
    found, last = [], sha256(FIRST)
    for number, line in enumerate(body.decode("utf-8", "replace").splitlines(), 1):
        if number == 1:
            if line != FIRST:
                raise ValueError(1)
            continue
        try:
            said = json.loads(line)
            digest = said.pop("digest")
            if said.pop("previous") != last or sha256(canonical({**said, "previous": last})) != digest:
                raise ValueError
            one = Later(**said)
            if one.act not in _KIND:
                raise ValueError
        except (ValueError, TypeError, KeyError, AttributeError, RecursionError):
            raise ValueError(number) from None
        found.append(one)
        last = digest
    return found, last


def _acts(connection: Connection, there: set[tuple[int, int, str]]) -> Iterator[Later]:
    log = tables.log
    query = select(log).where(log.c.act.in_(ACTS)).order_by(log.c.seq)
    # A firm at a time, by the index of its acts: the log may be long, and this is looked at every minute.
    firms = connection.execute(select(tables.log_head.c.organisation)).scalars().all()
    asked = (query.where(log.c.organisation == firm) for firm in firms)
    for entry in chain.from_iterable(map(connection.execute, asked)):
        if (entry.organisation, entry.seq, entry.digest) in there:
            continue
        said = _said(entry.act, entry.record, json.loads(entry.body))
        if said is None:
            continue
        act, target, to = said
        identity = _IDENTITY[_KIND[act]](connection, entry.organisation, target)
        if identity is None:
            continue
        salt = new_salt().hex()
        own = (entry.organisation, entry.seq, entry.digest, entry.at)
        yield Later(act, *own, target, to, salt, _of(salt, identity))


def _said(act: str, record: int | None, body: dict[str, Any]) -> tuple[str, int | str, str] | None:
    """The act, the id of what it was done to and, of a role, the new one; None where nothing goes."""
    what = body.get("what")
    if act == "erase":
        return None if record is None else (act, record, "")
    if act == "erase_job":
        return act, str(body.get("job")), ""
    if act == "share_revoked":
        return act, int(body["share"]), ""
    if act == "person":
        return (what, int(body["person"]), str(body.get("to", ""))) if what in PERSONS else None
    return ("passkey", int(body["passkey"]), "") if what == "removed" else None


def _row(table: Any, *columns: str) -> Callable[[Connection, int, int | str], str | None]:
    def found(connection: Connection, organisation: int, target: int | str) -> str | None:
        this = (table.c.organisation == organisation, table.c.id == target)
        row = connection.execute(select(*(table.c[name] for name in columns)).where(*this)).first()
        return None if row is None else canonical(list(row))

    return found


def _added(connection: Connection, organisation: int, target: int | str) -> str | None:
    """The entry that added a passkey: of one that is removed nothing else is left."""
    log = tables.log
    these = (log.c.organisation == organisation, log.c.act == "passkey")
    for entry in connection.execute(select(log).where(*these).order_by(log.c.seq)):
        body = json.loads(entry.body)
        if body.get("passkey") == target and body.get("what") == "added":
            return str(entry.digest)
    return None


_KIND = {
    "erase": "record", "erase_job": "job", "share_revoked": "share", "closed": "person", "opened": "person",
    "role": "person", "password": "person", "passkey": "passkey",
}  # fmt: skip
_IDENTITY = {
    "record": _row(tables.record, "number", "issued_at", "check_code", "content_digest"),
    "job": _row(tables.job, "id", "created_at"),
    "share": _row(tables.share, "token_hash"),
    "person": _row(tables.person, "login", "created_at"),
    "passkey": _added,
}


def _of(salt: str, identity: str) -> str:
    return sha256(canonical([salt, identity]))


def _private(path: str, flags: int) -> int:
    return os.open(path, flags, 0o600)
