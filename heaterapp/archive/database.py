"""Connections, the clock, and bringing the tables up to date."""

import threading
from collections.abc import Callable, Iterator
from contextlib import contextmanager
from datetime import UTC, datetime
from functools import lru_cache
from pathlib import Path

from alembic import command
from alembic.config import Config
from alembic.runtime.migration import MigrationContext
from alembic.script import ScriptDirectory
from sqlalchemy import Connection

from heaterapp.archive import dialect
from heaterapp.archive.blobs import Blobs

Clock = Callable[[], datetime]
_migrating = threading.Lock()


def utc_now() -> datetime:
    return datetime.now(UTC)


def stamp(moment: datetime) -> str:
    """Return a moment as `2026-03-14T09:26:53Z`, cut to whole seconds; naive times are refused."""
    if moment.tzinfo is None:
        raise ValueError("a time needs its time zone")
    return moment.astimezone(UTC).strftime("%Y-%m-%dT%H:%M:%SZ")


class Database:
    """One database by URL. `read` and `write` each give a connection inside one transaction."""

    def __init__(self, url: str, clock: Clock = utc_now, blobs: Blobs | None = None):
        self.engine = dialect.make_engine(url)
        # Who reads a body has a connection at hand, and finds the place there.
        self.engine.update_execution_options(blobs=blobs)
        self.blobs = blobs
        self._writing = self.engine.execution_options(writes=True)
        self.clock = clock

    def moment(self, now: datetime | None = None) -> datetime:
        return now if now is not None else self.clock()

    def now(self, now: datetime | None = None) -> str:
        return stamp(self.moment(now))

    @contextmanager
    def read(self) -> Iterator[Connection]:
        with self.engine.connect() as connection, connection.begin():
            yield connection

    @contextmanager
    def write(self) -> Iterator[Connection]:
        with self._writing.connect() as connection, connection.begin():
            yield connection

    def upgrade(self, revision: str = "head") -> None:
        """Bring the tables to `revision`; harmless when they are there, or when several do it at once."""
        self._migrate(command.upgrade, revision)

    def downgrade(self, revision: str) -> None:
        """Take the tables back; refused by the migrations once anything is issued."""
        self._migrate(command.downgrade, revision)

    def is_current(self) -> bool:
        return self.revision() == newest_revision()

    def revision(self) -> str:
        """Return which migration the tables are at, nothing where there are none."""
        with self.read() as connection:
            return revision_of(connection)

    def _migrate(self, move: Callable[[Config, str], None], revision: str) -> None:
        with _migrating, self._writing.connect() as connection, dialect.without_foreign_keys(connection):
            config = configuration()
            config.attributes["connection"] = connection
            move(config, revision)

    def compact(self) -> None:
        """Take what was erased out of the database's files; long for a large archive, and nobody writes."""
        dialect.compact(self.engine)

    def close(self) -> None:
        self.engine.dispose()


def revision_of(connection: Connection) -> str:
    return "+".join(sorted(MigrationContext.configure(connection).get_current_heads()))


@lru_cache(maxsize=1)
def newest_revision() -> str:
    """Return the migration that this program's tables are at."""
    return "+".join(sorted(ScriptDirectory.from_config(configuration()).get_heads()))


def configuration() -> Config:
    config = Config()
    config.set_main_option("script_location", str(Path(__file__).parent / "migrations").replace("%", "%%"))
    config.set_main_option("path_separator", "os")
    return config
