"""Putting a backup back: into an empty place only, checked before and after, whole or not at all."""

import os
from collections import Counter
from collections.abc import Iterator
from contextlib import contextmanager
from pathlib import Path
from typing import Any

from sqlalchemy import Connection, delete, select, update
from sqlalchemy.exc import DBAPIError

from heaterapp.archive import faults, office_tables, tables
from heaterapp.archive.audit import Audit
from heaterapp.archive.backups import engines, folders, later, manifest, rows
from heaterapp.archive.backups.again import Again, do_again, must_tell_all, open_acts, reaches
from heaterapp.archive.backups.listing import Listed
from heaterapp.archive.backups.refused import BackupRefused, is_full, reason
from heaterapp.archive.blob_tables import loose_blob
from heaterapp.archive.database import Database, newest_revision, stamp, utc_now
from heaterapp.archive.origins import mark_restored
from heaterapp.archive.shapes import Verified

_BLOCK = 1 << 20


def restore(
    backup: str | Path,
    data_dir: str | Path,
    url: str | None = None,
    *,
    as_it_was: bool = False,
    later_list: str | Path | None = None,
) -> dict[str, Any]:
    """Put a backup into an empty place and return its manifest, with an `Again` under `again`.

    backup      the folder of one backup; every file of it is checked first
    data_dir    gets the key of the session cookies, and the archive unless `url` is given
    url         an empty PostgreSQL database; filled in one transaction
    as_it_was   leaves what was erased or closed after the backup as the backup has it
    later_list  the list of what was (see later.py), where it is not the one beside the backup
    raises      BackupRefused; then the place is as it was, and the restore can be run again

    Every sign-in ends and every open invitation closes: what came after the backup is known from the list
    alone, and none of these stand in it.
    """
    source, place = Path(backup).resolve(), Path(data_dir).resolve()
    said = manifest.check(source)
    path = Path(later_list).resolve() if later_list else source.parent / later.NAME
    listed = None if as_it_was and later_list is None else later.read(path)
    if later_list and listed is None:
        raise BackupRefused(f"{path} is not there: name the list of later erasures, {later.NAME}")
    _must_be_known(said, source)
    _must_have_no_other_key(source, place)
    faults.at("restore_checked")
    try:
        if url is None:
            _must_be_empty(place)
        place.mkdir(mode=0o700, parents=True, exist_ok=True)
        with folders.part(place) as inside:
            file = inside / manifest.DATABASE
            _copy(source / manifest.DATABASE, file, said["files"][manifest.DATABASE]["sha256"])
            faults.at("restore_copied")
            if url is None:
                _settle_file(file, said)
                done, _ = _taken_again(file, said, path, listed, as_it_was)
                folders.flush(file)
                _staged_key(source, place, inside)
                _put_key(place, inside)
                _put(file, place / manifest.DATABASE)
            else:
                _bring_up_to_date(file)
                done, now = _taken_again(file, said, path, listed, as_it_was)
                _fill(url, file, now, lambda: _staged_key(source, place, inside))
                _put_key_late(source, place, inside)
    except (OSError, DBAPIError) as refused:
        where = place if url is None else "the database"
        if is_full(refused):
            raise BackupRefused(f"The disk of {where} is full: nothing was restored") from refused
        raise BackupRefused(f"Nothing was restored to {where}: {reason(refused)}") from refused
    faults.at("restore_placed")
    return {**said, "again": done}


def _must_be_known(said: dict[str, Any], source: Path) -> None:
    # Names of migrations are numbers that only grow.
    if str(said["schema"]) > newest_revision():
        raise BackupRefused(
            f"{source.name} was made by a newer program ({said['program_version']}, tables"
            f" {said['schema']}; here {newest_revision()}): restore it with that one"
        )


def _must_be_empty(place: Path) -> None:
    for suffix in ("", *engines.BESIDE):
        there = place / f"{manifest.DATABASE}{suffix}"
        if there.exists():
            raise BackupRefused(f"{there} is there already: a backup is restored into an empty place only")
    # The key of the cookies is made by setup, lost+found by a new disk, hidden parts by restores cut short.
    made = (manifest.KEY, "lost+found")
    strays = [path for path in place.glob("*") if path.name not in made and not folders.is_part(path)]
    if strays:
        raise BackupRefused(f"{min(strays)} is there: a backup is restored into an empty place only")


def _copy(source: Path, target: Path, wanted: str) -> None:
    target.touch(mode=0o600)
    with source.open("rb") as read, target.open("wb") as written:
        while block := read.read(_BLOCK):
            written.write(block)
    if manifest.digest_of(target) != wanted:
        raise BackupRefused(f"{source} came out otherwise than it was written: look at the disk")


def _bring_up_to_date(file: Path) -> None:
    restored = Database(f"sqlite:///{file}")
    try:
        if not restored.is_current():
            restored.upgrade()
    finally:
        restored.close()


def _settle_file(file: Path, said: dict[str, Any]) -> None:
    _bring_up_to_date(file)
    restored = Database(f"sqlite:///{file}")
    try:
        with restored.write() as connection:
            _end_what_passes(connection)
        faults.at("restore_settled")
        _must_be_whole(Audit(restored).verify(), restored, said)
    finally:
        restored.close()
    engines.as_one_file(file)
    folders.flush(file)
    faults.at("restore_verified")


def _taken_again(
    file: Path, said: dict[str, Any], path: Path, listed: Listed | None, as_it_was: bool
) -> tuple[Again, dict[str, Any]]:
    """Take away again in the copy what was taken away after it; return also what the copy is to hold then."""
    if listed is None:
        return Again(None, done=not as_it_was), said
    restored = Database(f"sqlite:///{file}")
    try:
        if not as_it_was:
            must_tell_all(restored, listed, path)
        acts, until = open_acts(restored, listed), reaches(restored, listed)
        counted = Counter(one.act for one in acts)
        if as_it_was or not acts:
            return Again(path, counted, done=not as_it_was, reaches=until), said
        left = do_again(restored, acts)
        verified = Audit(restored).verify()
        if not verified.ok:
            raise BackupRefused(f"What was erased again does not verify: {verified.faults[0]}")
        counted.subtract({act: len(ids) for act, ids in left.items()})
        with restored.read() as connection:
            now = {
                "counts": rows.counts(connection),
                "organisations": [
                    {"organisation": row.organisation, "entries": row.seq, "head": row.digest}
                    for row in connection.execute(select(tables.log_head))
                ],
            }
    finally:
        restored.close()
    engines.as_one_file(file)
    return Again(path, +counted, left, reaches=until), {**said, **now}


def _fill(url: str, file: Path, said: dict[str, Any], stage_key: Any) -> None:
    target, source = engines.opened(url), engines.reading(file)
    try:
        _must_be_none_of_ours(target)
        target.upgrade()
        with target.write() as connection:
            engines.alone(connection)
            _must_have_no_rows(connection)
            with source.connect() as reading:
                for table in rows.every_table():
                    for batch in rows.stored(reading, table):
                        rows.insert_all(connection, table, batch)
            engines.go_on_counting(connection)
            _end_what_passes(connection)
            faults.at("restore_settled")
            within = _Within(connection)
            _must_be_whole(Audit(within).verify(), within, said)
            faults.at("restore_verified")
            stage_key()
    finally:
        source.dispose()
        target.close()


class _Within:
    """A database as one open transaction sees it, so that what is not committed yet can be verified."""

    def __init__(self, connection: Connection):
        self._connection = connection

    @contextmanager
    def read(self) -> Iterator[Connection]:
        yield self._connection

    write = read


def _must_be_none_of_ours(target: Database) -> None:
    if target.engine.dialect.name == "sqlite":
        raise BackupRefused("HEATERAPP_DATABASE_URL names SQLite: leave it out and name a folder")
    if target.revision() not in ("", newest_revision()):
        raise BackupRefused("The database holds tables of another version: name an empty one")
    if target.revision():
        with target.read() as connection:
            _must_have_no_rows(connection)


def _must_have_no_rows(connection: Connection) -> None:
    for table in rows.every_table():
        if connection.execute(select(table).limit(1)).first():
            where = f"{connection.engine.url.database} on {connection.engine.url.host or 'this machine'}"
            raise BackupRefused(
                f"The database {where} is not empty ('{table.name}' has rows):"
                " a backup is restored into an empty place only"
            )


def _end_what_passes(connection: Connection) -> None:
    session = tables.session
    connection.execute(update(session).where(session.c.ended_at.is_(None)).values(ended_at=stamp(utc_now())))
    connection.execute(delete(office_tables.chore))
    invite = office_tables.invite
    still_open = (invite.c.used_at.is_(None), invite.c.revoked_at.is_(None))
    connection.execute(update(invite).where(*still_open).values(revoked_at=stamp(utc_now())))
    # Whoever can write to where backups lie can write their log too: see origins.py.
    mark_restored(connection, stamp(utc_now()))
    # A copy holds every body itself, and what lies elsewhere belongs to the archive it was made of.
    connection.execute(delete(loose_blob))


def _must_be_whole(verified: Verified, restored: Any, said: dict[str, Any]) -> None:
    if not verified.ok:
        raise BackupRefused(f"What was restored does not verify: {verified.faults[0]}")
    head = tables.log_head
    with restored.read() as connection:
        held = rows.counts(connection)
        ends = {row.organisation: (row.seq, row.digest) for row in connection.execute(select(head))}
    for table, count in said["counts"].items():
        if table not in {one.name for one in rows.PASSING} and held.get(table) != count:
            raise BackupRefused(f"Table {table} has {held.get(table)} rows, the manifest says {count}")
    for one in said["organisations"]:
        if ends.get(one["organisation"]) != (one["entries"], one["head"]):
            raise BackupRefused(
                f"The log of organisation {one['organisation']} does not end as the manifest says"
            )


def _must_have_no_other_key(source: Path, place: Path) -> None:
    kept, there = source / manifest.KEY, place / manifest.KEY
    if kept.is_file() and there.exists() and there.read_bytes() != kept.read_bytes():
        raise BackupRefused(
            f"{there} is there already and is another key than the backup's: move it away first"
        )


def _staged_key(source: Path, place: Path, inside: Path) -> None:
    """Write the key beside its place: all that can fail of it is done before the archive is kept."""
    if (source / manifest.KEY).is_file():
        kept = inside / manifest.KEY
        kept.touch(mode=0o600)
        kept.write_bytes((source / manifest.KEY).read_bytes())
        folders.flush(kept)
        _must_have_no_other_key(source, place)
    faults.at("restore_key")


def _put_key(place: Path, inside: Path) -> None:
    if (inside / manifest.KEY).is_file():
        (inside / manifest.KEY).replace(place / manifest.KEY)


def _put_key_late(source: Path, place: Path, inside: Path) -> None:
    try:
        _put_key(place, inside)
    except OSError as refused:
        raise BackupRefused(
            f"The database is restored, its key is not ({reason(refused)}): copy {source / manifest.KEY}"
            f" into {place}"
        ) from refused


def _put(file: Path, place: Path) -> None:
    try:
        # A link takes no name that is taken, whoever came first.
        os.link(file, place)
    except FileExistsError:
        raise BackupRefused(f"{place} appeared meanwhile: nothing was restored") from None
    folders.sync(place.parent)
