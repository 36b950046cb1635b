"""All that differs between SQLite and PostgreSQL: how to connect, what refuses changes, the word index.

Everything else in the archive is plain SQLAlchemy.
"""

import sqlite3
import time
from collections.abc import Iterator
from contextlib import contextmanager

from sqlalchemy import (
    ColumnElement,
    Connection,
    Engine,
    create_engine,
    event,
    make_url,
)

from heaterapp.archive import postgresql
from heaterapp.archive.indexes import time_indexes

BUSY_S, PATIENT_S = 30, 4
TURN_S = 0.002
PRAGMAS = (
    f"PRAGMA busy_timeout={BUSY_S * 1000}",
    "PRAGMA synchronous=FULL",
    "PRAGMA foreign_keys=ON",
    # Without this INSERT OR REPLACE would delete a row past the delete triggers.
    "PRAGMA recursive_triggers=ON",
    "PRAGMA cache_size=-16000",
    # As much as SQLite takes: the search of a million records walks all over a file of 1.6 GB.
    "PRAGMA mmap_size=2147418112",
)

WAL_PAUSES_S = (0.01,) * 20 + (0.1,) * 100

_ERASED = (
    "EXISTS (SELECT 1 FROM log WHERE log.organisation = OLD.organisation"
    " AND log.record = OLD.record AND log.act = 'erase')"
)
_PAYLOAD_EMPTIED = (
    "NEW.salt IS NULL AND NEW.body IS NULL AND NEW.organisation = OLD.organisation"
    " AND NEW.record = OLD.record AND NEW.name = OLD.name AND NEW.digest = OLD.digest"
)
_JOB_ERASED = (
    "EXISTS (SELECT 1 FROM log WHERE log.organisation = OLD.organisation AND log.act = 'erase_job'"
    " AND replace(log.body, '\"job\":\"' || OLD.job_id || '\"', '') <> log.body)"
)
_SAID_EMPTIED = (
    "NEW.salt IS NULL AND NEW.body IS NULL AND NEW.organisation = OLD.organisation AND NEW.seq = OLD.seq"
    " AND NEW.name = OLD.name AND coalesce(NEW.record, 0) = coalesce(OLD.record, 0)"
    " AND coalesce(NEW.job_id, '') = coalesce(OLD.job_id, '')"
)
# The one permitted change: content whose erasure stands in the log.
PERMITTED = {
    ("payload", "UPDATE"): f"{_PAYLOAD_EMPTIED} AND {_ERASED}",
    ("said", "UPDATE"): f"{_SAID_EMPTIED} AND ({_ERASED} OR {_JOB_ERASED})",
    ("finding", "DELETE"): _ERASED,
    ("sweep", "DELETE"): _ERASED,
    ("sweep_finding", "DELETE"): _ERASED,
}


def make_engine(url: str) -> Engine:
    """Return an engine whose transactions begin as the archive needs them."""
    if make_url(url).get_backend_name() == "sqlite":
        # What somebody typed, a password's hash included, is in no message of an error.
        engine = create_engine(url, hide_parameters=True)
        event.listen(engine, "connect", _prepare)
        event.listen(engine, "begin", _begin)
        return engine
    return postgresql.make_engine(url)


def _prepare(connection: sqlite3.Connection, _pool_entry: object) -> None:
    connection.isolation_level = None
    for pragma in PRAGMAS:
        connection.execute(pragma).close()
    # Several processes opening a new file at once: the change to WAL does not wait, so we do.
    for pause in (*WAL_PAUSES_S, None):
        try:
            connection.execute("PRAGMA journal_mode=WAL").close()
            return
        except sqlite3.OperationalError:
            if pause is None:
                raise
            time.sleep(pause)


def _begin(connection: Connection) -> None:
    # Taking the write lock at once is what keeps two writers from reading the same counter.
    driver = connection.connection.driver_connection
    if connection.get_execution_options().get("writes"):
        _begin_writing(driver)
    else:
        driver.execute("BEGIN").close()


def _begin_writing(driver: sqlite3.Connection) -> None:
    # SQLite asks the less often the longer it has waited, so that of many writers on a slow machine one
    # may never get its turn. Who has waited for some seconds asks often, until it is let in.
    driver.execute(f"PRAGMA busy_timeout={PATIENT_S * 1000}").close()
    until = time.monotonic() + BUSY_S
    try:
        while True:
            try:
                driver.execute("BEGIN IMMEDIATE").close()
                return
            except sqlite3.OperationalError as refused:
                if refused.sqlite_errorcode & 0xFF != sqlite3.SQLITE_BUSY or time.monotonic() > until:
                    raise
                driver.execute("PRAGMA busy_timeout=0").close()
                time.sleep(TURN_S)
    finally:
        driver.execute(PRAGMAS[0]).close()


@contextmanager
def without_foreign_keys(connection: Connection) -> Iterator[None]:
    """Let a migration rebuild tables; raise when it leaves a dangling reference."""
    if connection.dialect.name != "sqlite":
        with connection.begin():
            yield
        return
    driver = connection.connection.driver_connection
    driver.execute("PRAGMA foreign_keys=OFF")
    try:
        with connection.begin():
            yield
            dangling = connection.exec_driver_sql("PRAGMA foreign_key_check").first()
            if dangling:
                raise RuntimeError(f"migration left a dangling reference: {tuple(dangling)}")
    finally:
        driver.execute("PRAGMA foreign_keys=ON")


def one_moment(connection: Connection) -> None:
    """Let all that this transaction reads be as it was at its first reading. To be said first."""
    # SQLite's transactions are so by themselves, and while one writes nobody else does.
    if connection.dialect.name != "sqlite" and not connection.get_execution_options().get("writes"):
        connection.exec_driver_sql("SET TRANSACTION ISOLATION LEVEL REPEATABLE READ")


@contextmanager
def reading_damaged(connection: Connection) -> Iterator[None]:
    """See one moment throughout, and read text that is no longer UTF-8 instead of raising."""
    one_moment(connection)
    if connection.dialect.name != "sqlite":
        yield
        return
    driver = connection.connection.driver_connection
    usual = driver.text_factory
    driver.text_factory = lambda raw: raw.decode("utf-8", "surrogateescape")
    try:
        yield
    finally:
        driver.text_factory = usual


def guards(dialect: str, tables: tuple[str, ...]) -> dict[str, str]:
    """Return name -> statement of the triggers that refuse UPDATE and DELETE on `tables`."""
    made = {}
    for table in tables:
        for act in ("UPDATE", "DELETE"):
            name = f"keep_{table}_{act.lower()}"
            permitted = PERMITTED.get((table, act))
            made[name] = (_sqlite_guard if dialect == "sqlite" else postgresql.guard)(
                name, table, act, permitted
            )
    return made


def _sqlite_guard(name: str, table: str, act: str, permitted: str | None) -> str:
    when = f" WHEN NOT ({permitted})" if permitted else ""
    return (
        f"CREATE TRIGGER {name} BEFORE {act} ON {table}{when}"
        f" BEGIN SELECT RAISE(ABORT, '{table} rows are never changed'); END"
    )


def truncate_guards(dialect: str, tables: tuple[str, ...]) -> dict[str, str]:
    """Return name -> statement of the triggers that refuse TRUNCATE; SQLite has no such statement."""
    if dialect == "sqlite":
        return {}
    names = {f"keep_{table}_truncate": table for table in tables}
    return {name: postgresql.truncate_guard(name, table) for name, table in names.items()}


def drop_guards(dialect: str, tables: tuple[str, ...]) -> list[str]:
    names = [(name, table) for table in tables for name in guards(dialect, (table,))]
    if dialect == "sqlite":
        return [f"DROP TRIGGER {name}" for name, _ in names]
    return [f"DROP FUNCTION {name}() CASCADE" for name, _ in names]


def word_index(dialect: str) -> dict[str, str]:
    """Return name -> statement that make the index over `finding.words`, kept by the database itself."""
    if dialect != "sqlite":
        return {
            "ix_finding_words": "CREATE INDEX ix_finding_words ON finding"
            " USING gin (array_to_tsvector(string_to_array(words, ' ')))"
        }
    return {
        # Words are split by words.py; this tokenizer never splits what it wrote. A beginning of any
        # length listed under `prefix` is one look-up; others are gathered first (10 ms in 100,000).
        "finding_words": "CREATE VIRTUAL TABLE finding_words USING fts5(words, content='finding',"
        " content_rowid='record', tokenize=\"ascii tokenchars '_'\","
        " prefix='2 3 4 5 6 7 8 9 10', detail=none)",
        "index_finding_insert": "CREATE TRIGGER index_finding_insert AFTER INSERT ON finding BEGIN"
        " INSERT INTO finding_words(rowid, words) VALUES (NEW.record, NEW.words); END",
        "index_finding_delete": "CREATE TRIGGER index_finding_delete AFTER DELETE ON finding BEGIN"
        " INSERT INTO finding_words(finding_words, rowid, words)"
        " VALUES ('delete', OLD.record, OLD.words); END",
    }


def drop_word_index(dialect: str) -> list[str]:
    if dialect != "sqlite":
        return ["DROP INDEX ix_finding_words"]
    return [
        "DROP TRIGGER index_finding_insert",
        "DROP TRIGGER index_finding_delete",
        "DROP TABLE finding_words",
    ]


def bytewise(connection: Connection, column: ColumnElement) -> ColumnElement:
    """The column compared by character codes, as SQLite does, whatever the language of the database."""
    return column if connection.dialect.name == "sqlite" else column.collate("C")


ERASED_FROM = (
    "payload", "finding", "job", "desk", "desk_line", "inspection", "sweep", "sweep_finding", "recheck_hit",
    "arrival", "upload", "pending", "share", "said", "hold", "mail",
)  # fmt: skip
"""Every table that an erasure changes or deletes from, but the ends of the logs; a test watches one."""


def compact(engine: Engine) -> None:
    """Take what was erased out of the database's files too; nobody else writes meanwhile on SQLite."""
    with engine.connect().execution_options(isolation_level="AUTOCOMMIT") as connection:
        if connection.dialect.name != "sqlite":
            connection.exec_driver_sql(f"VACUUM (FULL, ANALYZE) {', '.join(ERASED_FROM)}")
            return
        driver = connection.connection.driver_connection
        for statement in (
            "INSERT INTO finding_words(finding_words) VALUES ('optimize')",
            "VACUUM",
            "PRAGMA wal_checkpoint(TRUNCATE)",
        ):
            driver.execute(statement).fetchall()


def schema_faults(
    connection: Connection, tables: tuple[str, ...], whole: bool = True
) -> list[tuple[str, str]]:
    """Return (name, what) for each guard or index missing or altered; with `whole` also for a torn file."""
    if connection.dialect.name != "sqlite":
        every = guards("postgresql", tables) | truncate_guards("postgresql", tables)
        indexes = word_index("postgresql") | time_indexes("postgresql")
        return postgresql.schema_faults(connection, every, indexes)
    found = dict(connection.exec_driver_sql("SELECT name, sql FROM sqlite_master").all())
    wanted = guards("sqlite", tables) | word_index("sqlite") | time_indexes("sqlite")
    faults = [
        (name, "missing" if name not in found else "not as it was made")
        for name, statement in wanted.items()
        if found.get(name) != statement
    ]
    if not whole:
        return faults
    said = connection.exec_driver_sql("PRAGMA integrity_check(10)").scalars().all()
    return faults + [("database file", line) for line in said if line != "ok"]


def word_index_fault(connection: Connection) -> str | None:
    """Return what is wrong between the word index and the rows it was made from, or None."""
    if connection.dialect.name != "sqlite":
        return None
    try:
        with connection.begin_nested():
            # rank 1 compares with the rows as well as within the index
            connection.exec_driver_sql(
                "INSERT INTO finding_words(finding_words, rank) VALUES ('integrity-check', 1)"
            )
    except Exception as error:
        return str(error.__cause__ or error)
    return None
