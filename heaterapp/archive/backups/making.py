"""Making a backup: a copy of one moment, opened and verified, and only then under its own name."""

import shutil
import sqlite3
from dataclasses import replace
from pathlib import Path
from typing import Any

from sqlalchemy import select, tuple_, update
from sqlalchemy.exc import DBAPIError

from heaterapp import __version__
from heaterapp.archive import faults, tables
from heaterapp.archive.audit import Audit
from heaterapp.archive.backups import engines, folders, later, manifest, rows
from heaterapp.archive.backups.folders import Backup
from heaterapp.archive.backups.refused import BackupRefused, BodyMissing, is_full, reason
from heaterapp.archive.backups.timetable import Timetable
from heaterapp.archive.database import Database
from heaterapp.archive.dialect import reading_damaged
from heaterapp.archive.errors import BlobsFailed
from heaterapp.archive.shapes import Verified

FAULTS_TOLD = 3
SPARE = 2_000_000


class Backups:
    """Makes copies of this archive and knows when the next one is due. Never writes to a record."""

    def __init__(self, database: Database, fetch: rows.Fetch | None = None):
        self._database = database
        self._fetch = fetch or rows.nowhere
        self.timetable = Timetable(database)

    def make(self, folder: str | Path, secret: str | Path | None = None, keep: int | None = None) -> Backup:
        """Make one verified backup in `folder` and return it, while others write.

        secret  the file with the key of the session cookies, copied along where it is there
        keep    how many of this archive's backups stay, 1 or more, this one always; None keeps all
        raises  BackupRefused with one sentence; then nothing is left and nothing was changed
        """
        target = Path(folder).resolve()
        try:
            target.mkdir(mode=0o700, parents=True, exist_ok=True)
            _make_room(self._database, target)
            noting = later.Noting(self._database, target)
            if (target / later.NAME).exists():
                # What a restore brought is told from the log before it by a line older than its backups.
                _note_later(noting)
            try:
                path, said = self._one(target, secret)
            except BodyMissing:
                # Erased between the copy of the rows and the reading of the bodies: a new copy knows it.
                path, said = self._one(target, secret)
            made = Backup(path, said["made_at"], sum(one["size"] for one in said["files"].values()), said)
            faults.at("backup_named")
            made = replace(made, unnoted=_note_later(noting))
            faults.at("backup_later_noted")
            if keep is not None:
                folders.thin(made, keep, self._is_earlier)
        except (OSError, DBAPIError) as refused:
            raise _worded(refused, target) from refused
        except BlobsFailed as refused:
            raise BackupRefused(f"No backup was made: {str(refused).rstrip('.')}") from refused
        except sqlite3.Error as refused:
            raise _worded(refused, target) from refused
        faults.at("backup_done")
        return made

    def _is_earlier(self, said: dict[str, Any]) -> bool:
        """Say whether each log that a backup tells of goes on in this archive, and one at least has begun."""
        entry, ends = tables.log, [one for one in said["organisations"] if one["entries"]]
        with self._database.read() as connection:
            for one in ends:
                this = (entry.c.organisation == one["organisation"], entry.c.seq == one["entries"])
                if connection.execute(select(entry.c.digest).where(*this)).scalar() != one["head"]:
                    return False
        return bool(ends)

    def _one(self, target: Path, secret: str | Path | None) -> tuple[Path, dict[str, Any]]:
        with folders.part(target) as inside:
            faults.at("backup_begun")
            said = self._fill(inside, Path(secret) if secret else None)
            path = target / folders.name_at(said["made_at"])
            faults.at("backup_manifest")
            if path.exists():
                raise BackupRefused(f"{path} is there already: one backup a second, try again")
            inside.rename(path)
            folders.sync(target)
        return path, said

    def _fill(self, inside: Path, secret: Path | None) -> dict[str, Any]:
        file, at = inside / manifest.DATABASE, self._database.now()
        if engines.is_sqlite(self._database):
            engines.copy_pages(self._database, file, lambda: faults.at("backup_copying"))
        else:
            self._copy_rows(file)
        faults.at("backup_copied")
        copy = Database(f"sqlite:///{file}")
        try:
            _take_bodies(copy, self._fetch)
            faults.at("backup_bodies")
            verified = Audit(copy).verify()
            if not verified.ok:
                raise BackupRefused(_told(verified))
            facts = _facts(copy, verified)
        finally:
            copy.close()
        engines.as_one_file(file)
        faults.at("backup_verified")
        if secret is not None and secret.is_file():
            kept = inside / manifest.KEY
            kept.touch(mode=0o600)
            shutil.copyfile(secret, kept)
        faults.at("backup_key")
        said = manifest.write(inside, {"made_at": at, **facts, "source": self._database.engine.dialect.name})
        folders.flush(inside)
        return said

    def _copy_rows(self, file: Path) -> None:
        file.touch(mode=0o600)
        copy = Database(f"sqlite:///{file}")
        try:
            copy.upgrade()
            with self._database.read() as source, reading_damaged(source):
                for table in rows.every_table():
                    for batch in rows.stored(source, table, self._fetch):
                        faults.at("backup_copying")
                        with copy.write() as connection:
                            rows.insert_all(connection, table, batch)
        finally:
            copy.close()


def _take_bodies(copy: Database, fetch: rows.Fetch) -> None:
    """Fill in every body that lies in the blob store, so that the copy is complete in itself."""
    payload = tables.payload
    key = (payload.c.organisation, payload.c.record, payload.c.name)
    query = select(*key, payload.c.digest).where(payload.c.salt.is_not(None), payload.c.body.is_(None))
    query = query.order_by(*key).limit(rows.ROWS_WITH_BODIES)
    with copy.read() as connection:
        waiting = connection.execute(query).all()
    if not waiting:
        return
    with engines.unguarded(copy, "payload"):
        while waiting:
            bodies = rows.bodies_of(fetch, [row.digest for row in waiting])
            with copy.write() as connection:
                for (*own, _), body in zip(waiting, bodies, strict=True):
                    this = [column == value for column, value in zip(key, own, strict=True)]
                    connection.execute(update(payload).where(*this).values(body=body))
                after = query.where(tuple_(*key) > tuple(waiting[-1][:-1]))
                waiting = connection.execute(after).all()


def _facts(copy: Database, verified: Verified) -> dict[str, Any]:
    head = tables.log_head
    with copy.read() as connection:
        ends = connection.execute(select(head).order_by(head.c.organisation)).all()
        held = rows.counts(connection)
    return {
        "program_version": __version__,
        "schema": copy.revision(),
        "organisations": [{"organisation": o, "entries": seq, "head": digest} for o, seq, digest in ends],
        "counts": held,
        "verified": {
            "entries": verified.entries,
            "records": verified.records,
            "contents": verified.payloads,
        },
    }


def _note_later(noting: later.Noting) -> str:
    """Return why the list is not up to date; a backup is good without it, and the next look mends it."""
    try:
        noting.note()
    except Exception as broken:
        why = reason(broken) if isinstance(broken, OSError | DBAPIError) else type(broken).__name__
        return f"{later.NAME} could not be brought up to date, so no restore knows all of later: {why}"
    return ""


def _make_room(database: Database, target: Path) -> None:
    folders.sweep(target)
    needed, free = engines.bytes_of(database) + SPARE, folders.room(target)
    if needed > free:
        raise BackupRefused(
            f"The disk of {target} has {free // 10**6} MB free and a backup needs about {needed // 10**6} MB:"
            " no backup was begun"
        )


def _told(verified: Verified) -> str:
    named = "; ".join(str(fault) for fault in verified.faults[:FAULTS_TOLD])
    more = len(verified.faults) - FAULTS_TOLD
    return (
        f"The copy does not verify, so it was not kept: {named}{f' and {more} more' if more > 0 else ''}."
        " Run 'python -m heaterapp verify' on the archive itself"
    )


def _worded(refused: Exception, target: Path) -> BackupRefused:
    if is_full(refused):
        return BackupRefused(
            f"The disk of {target} is full: no backup was made, nothing is left of it, and the archive"
            " was not touched. Free some room, or name a folder on another disk"
        )
    return BackupRefused(f"No backup was made in {target}. What stood in the way: {reason(refused)}")
