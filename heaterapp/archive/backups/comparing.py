"""Two archives held against each other, row for row and field for field."""

from collections.abc import Iterator
from contextlib import contextmanager
from dataclasses import dataclass
from pathlib import Path
from typing import Any

from sqlalchemy import Connection, Engine, Table
from sqlalchemy.exc import DBAPIError

from heaterapp.archive.backups import engines, manifest, rows
from heaterapp.archive.backups.refused import BackupRefused, reason
from heaterapp.archive.database import newest_revision, revision_of
from heaterapp.archive.dialect import reading_damaged

URL_MARK = "://"


@dataclass(frozen=True)
class Difference:
    """One thing that differs: which table, which row by its key, which field, and how."""

    table: str
    row: str
    field: str
    what: str

    def __str__(self) -> str:
        return f"{self.table} {self.row}{f' {self.field}' if self.field else ''}: {self.what}"


@dataclass(frozen=True)
class Place:
    """One archive opened for comparing; `name` is how the person called it, without a password."""

    name: str
    engine: Engine
    fetch: rows.Fetch

    @contextmanager
    def read(self) -> Iterator[Connection]:
        with self.engine.connect() as connection, connection.begin(), reading_damaged(connection):
            yield connection

    @property
    def revision(self) -> str:
        """Which migration its tables are at."""
        with self.engine.connect() as connection:
            return revision_of(connection)

    def close(self) -> None:
        self.engine.dispose()


def open_place(named: str, fetch: rows.Fetch = rows.nowhere) -> Place:
    """Open a data folder, the folder of one backup, a SQLite file or a database URL, to read it.

    fetch   gives what lies in the blob store of a living archive; a backup has none
    raises  BackupRefused that names what is not there or of another version
    """
    if URL_MARK in named:
        database = engines.opened(named)
        place = Place(database.engine.url.render_as_string(hide_password=True), database.engine, fetch)
    else:
        path = Path(named)
        file = path / manifest.DATABASE if path.is_dir() else path
        if not path.exists():
            raise BackupRefused(f"{named} is not there")
        if not file.is_file():
            raise BackupRefused(f"{named} is neither an archive's folder nor a backup: no {file.name} there")
        if (path / manifest.NAME).is_file():
            # A backup stays as it is to the bit, even while it is read.
            place = Place(named, engines.reading(file), rows.nowhere)
        else:
            place = Place(named, engines.opened(f"sqlite:///{file.resolve()}").engine, fetch)
    return _known(place)


def _known(place: Place) -> Place:
    try:
        found = place.revision
    except DBAPIError as refused:
        place.close()
        raise BackupRefused(f"{place.name} cannot be read: {reason(refused)}") from refused
    if found != newest_revision():
        place.close()
        raise BackupRefused(
            f"{place.name} has tables of {found or 'no'} version, here they are {newest_revision()}:"
            " restore it with this program, then compare"
        )
    return place


def differences(one: Place, other: Place) -> Iterator[Difference]:
    """Give every difference between two archives, table by table in a fixed order, in flat memory.

    Sign-ins, counted guesses and who makes what are left out: they pass, and a restore ends them.
    """
    with one.read() as first, other.read() as second:
        for table in rows.every_table():
            if table not in rows.PASSING:
                yield from _of_table(
                    table,
                    _each(first, table, one.fetch),
                    _each(second, table, other.fetch),
                    (one.name, other.name),
                )


def _each(connection: Connection, table: Table, fetch: rows.Fetch) -> Iterator[dict[str, Any]]:
    for batch in rows.stored(connection, table, fetch):
        yield from batch


def _of_table(
    table: Table, left: Iterator[dict[str, Any]], right: Iterator[dict[str, Any]], names: tuple[str, str]
) -> Iterator[Difference]:
    key = rows.key_of(table)

    def at(row: dict[str, Any] | None) -> tuple[Any, ...] | None:
        return None if row is None else tuple(row[name] for name in key)

    def named(row: dict[str, Any]) -> str:
        return ", ".join(f"{name} {row[name]}" for name in key)

    a, b = next(left, None), next(right, None)
    while a is not None or b is not None:
        if b is None or (a is not None and at(a) < at(b)):
            yield Difference(table.name, named(a), "", f"is only in {names[0]}")
            a = next(left, None)
        elif a is None or at(b) < at(a):
            yield Difference(table.name, named(b), "", f"is only in {names[1]}")
            b = next(right, None)
        else:
            for field in a:
                if a[field] != b[field]:
                    yield Difference(table.name, named(a), field, "differs")
            a, b = next(left, None), next(right, None)
