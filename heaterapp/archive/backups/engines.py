"""All of a copy that differs between SQLite and PostgreSQL, or that only one of them can do."""

import sqlite3
from collections.abc import Callable, Iterator
from contextlib import contextmanager
from pathlib import Path
from urllib.parse import quote

from sqlalchemy import Connection, create_engine, func, select
from sqlalchemy import Engine as SqlEngine

from heaterapp.archive.backups.refused import BackupRefused, reason
from heaterapp.archive.database import Database
from heaterapp.archive.dialect import drop_guards, guards
from heaterapp.archive.tables import metadata, organisation

PAGES_A_STEP = 512
BESIDE = ("-wal", "-shm", "-journal")


def is_sqlite(database: Database) -> bool:
    return database.engine.dialect.name == "sqlite"


def bytes_of(database: Database) -> int:
    """Return about how many bytes a copy of a database takes."""
    with database.read() as connection:
        if not is_sqlite(database):
            return int(connection.exec_driver_sql("SELECT pg_database_size(current_database())").scalar())
        pages = connection.exec_driver_sql("PRAGMA page_count").scalar()
        return int(pages * connection.exec_driver_sql("PRAGMA page_size").scalar())


def open_target(file: Path) -> sqlite3.Connection:
    """Open the file that pages are copied to; it is flushed once, at the end."""
    file.touch(mode=0o600)
    target = sqlite3.connect(file, isolation_level=None)
    target.execute("PRAGMA synchronous=OFF")
    return target


def copy_pages(database: Database, file: Path, step: Callable[[], None]) -> None:
    """Copy a SQLite database to a new file by its online backup, as of one moment.

    step  is called after each few pages

    Read within one transaction, so that no writer makes it begin again and none waits for it.
    """
    with database.engine.connect() as connection, connection.begin():
        connection.execute(select(organisation.c.organisation).limit(1)).all()
        target = open_target(file)
        try:
            source = connection.connection.driver_connection
            source.backup(target, pages=PAGES_A_STEP, progress=lambda *_: step())
        finally:
            target.close()


def as_one_file(file: Path) -> None:
    """Make a closed SQLite database a single file again, which can be read without being changed."""
    closed = sqlite3.connect(file, isolation_level=None)
    try:
        said = closed.execute("PRAGMA journal_mode=DELETE").fetchone()[0]
    finally:
        closed.close()
    left = [suffix for suffix in BESIDE if file.with_name(file.name + suffix).exists()]
    if said != "delete" or left:
        raise BackupRefused(f"{file} is held open by somebody else")


def reading(file: Path) -> SqlEngine:
    """Open a SQLite file that nobody writes to, without changing anything on its disk."""
    address = f"sqlite:///file:{quote(str(file.resolve()))}?mode=ro&immutable=1&uri=true"
    return create_engine(address, hide_parameters=True)


@contextmanager
def unguarded(copy: Database, table: str) -> Iterator[None]:
    """Lift the guards of one table of a copy, and set them again; a living archive keeps its own."""
    name = copy.engine.dialect.name
    with copy.write() as connection:
        for statement in drop_guards(name, (table,)):
            connection.exec_driver_sql(statement)
    yield
    with copy.write() as connection:
        for statement in guards(name, (table,)).values():
            connection.exec_driver_sql(statement)


def alone(connection: Connection) -> None:
    """Keep all others out of an empty database until this transaction, which writes, ends."""
    if connection.dialect.name != "sqlite":
        connection.exec_driver_sql("LOCK TABLE organisation IN ACCESS EXCLUSIVE MODE")


def go_on_counting(connection: Connection) -> None:
    """Let every id that the database gives go on after the highest there is."""
    if connection.dialect.name == "sqlite":
        return
    for table in metadata.sorted_tables:
        column = table.autoincrement_column
        if column is None:
            continue
        own = func.pg_get_serial_sequence(table.name, column.name)
        if connection.execute(select(own)).scalar() is None:
            continue
        highest = connection.execute(select(func.max(column))).scalar()
        connection.execute(select(func.setval(own, highest or 1, highest is not None))).all()


def opened(url: str) -> Database:
    """Open a database by URL and ask it something. Raises BackupRefused that says why it cannot be."""
    try:
        database = Database(url)
        database.is_current()
    except Exception as refused:  # whatever the database's own driver raises
        raise BackupRefused(f"The database cannot be opened: {reason(refused)}") from refused
    return database
