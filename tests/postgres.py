"""A real PostgreSQL for tests: its own server in a throw-away folder, gone with the process that started it."""

from __future__ import annotations

import contextlib
import itertools
import os
import pwd
import shutil
import subprocess
import tempfile
import time
from collections.abc import Iterator
from pathlib import Path

import psycopg

from heaterapp import archive

INSTALLED = Path("/usr/lib/postgresql")
LACKING = (
    "These tests need PostgreSQL's server programs (initdb and postgres), and none were found in"
    " /usr/lib/postgresql/*/bin or on PATH: on Debian, apt-get install postgresql."
)
START_S = 30.0
TEMPLATE = "migrated"
# The watcher outlives a killed test run just long enough to end the server: it waits for its pipe to close.
WATCH = 'folder=$1; shift; "$@" >"$folder/log" 2>&1 & server=$!; cat; kill -INT $server; wait $server; rm -rf "$folder"'
QUICK = ("fsync=off", "synchronous_commit=off", "full_page_writes=off")
# Sorted as people sort, not by bytes: nothing in the archive may rest on the order that SQLite has.
CLUSTER = ("--auth=trust", "--username=postgres", "--encoding=UTF8", "--no-sync", "--no-instructions",
           "--locale=C.UTF-8", "--locale-provider=icu", "--icu-locale=en-US")  # fmt: skip

LEAVE = "SELECT pg_terminate_backend(pid) FROM pg_stat_activity WHERE datname = %s AND pid <> pg_backend_pid()"
# Each row of these that is written anew gets a newer xmin, and one that goes is missing from the count.
CATALOGS = ("pg_class", "pg_attribute", "pg_index", "pg_trigger", "pg_proc", "pg_constraint", "alembic_version")
WRITTEN = "SELECT " + ", ".join(
    f"(SELECT concat(count(*), ' ', max(xmin::text::bigint)) FROM {one})" for one in CATALOGS
)
# All that a test may have altered beside rows: to be asked only where one of those was written.
MADE = """
SELECT md5(string_agg(what, '|' ORDER BY what COLLATE "C")) FROM (
    SELECT pg_get_triggerdef(oid) || tgenabled::text FROM pg_trigger WHERE NOT tgisinternal
    UNION ALL SELECT proname::text || prosrc FROM pg_proc WHERE pronamespace = 'public'::regnamespace
    UNION ALL SELECT indexdef FROM pg_indexes WHERE schemaname = 'public'
    UNION ALL SELECT concat(relname, attname, atttypid, attnotnull) FROM pg_class
        JOIN pg_attribute ON attrelid = pg_class.oid
        WHERE relnamespace = 'public'::regnamespace AND relkind = 'r' AND attnum > 0
    UNION ALL SELECT conname::text || pg_get_constraintdef(oid) FROM pg_constraint
    UNION ALL SELECT version_num::text FROM alembic_version
) AS made(what)
"""
# What guards and references refuse is done as a replica does it: past every trigger.
EMPTY = """
DO $$ DECLARE one text; BEGIN
    SET LOCAL session_replication_role = replica;
    FOR one IN SELECT tablename FROM pg_tables WHERE schemaname = 'public' AND tablename <> 'alembic_version'
        LOOP EXECUTE 'DELETE FROM ' || one; END LOOP;
    PERFORM setval(seqrelid::regclass, 1, false) FROM pg_sequence;
END $$
"""


class Server:
    """A running server; `fresh` gives the url of an empty, migrated database."""

    def __init__(self, folder: Path, watcher: subprocess.Popen[bytes]):
        self.folder = folder
        self._watcher = watcher
        self._names = (f"archive{number}" for number in itertools.count(1))
        self._has_template = False
        self._template: tuple | None = None
        self._emptied: list[str] = []
        # A new session reads the whole catalogue before it looks and empties, six times the work of both.
        self._sessions: dict[str, psycopg.Connection] = {}
        self._written: dict[str, tuple | None] = {}

    def url(self, database: str) -> str:
        return f"postgresql+psycopg://postgres@/{database}?host={self.folder}"

    def empty(self) -> str:
        """Make a database without any table and return its url."""
        name = next(self._names)
        self._order(f"CREATE DATABASE {name}")
        return self.url(name)

    def fresh(self) -> str:
        """Make a database with all tables and nobody's rows, and return its url."""
        if not self._has_template:
            self._order(f"CREATE DATABASE {TEMPLATE}")
            archive.open_store(url=self.url(TEMPLATE)).close()
            self._has_template = True
        name = next(self._names)
        self._order(f"CREATE DATABASE {name} TEMPLATE {TEMPLATE} STRATEGY FILE_COPY")
        return self.url(name)

    def _take_back(self, url: str) -> None:
        name = _name(url)
        with contextlib.suppress(psycopg.Error):
            connection = self._sessions.get(name) or self._connect(name)
            self._sessions[name] = connection
            connection.execute(LEAVE, [name])
            written = connection.execute(WRITTEN).fetchone()
            if written == self._written.get(name) or connection.execute(MADE).fetchone() == self._made():
                self._written[name] = written
                connection.execute(EMPTY)
                self._emptied.append(url)
                return
        self._leave(name)
        self.drop(url)

    def _leave(self, name: str) -> None:
        if name in self._sessions:
            self._sessions.pop(name).close()

    def _made(self) -> tuple:
        if self._template is None:
            with self._connect(TEMPLATE) as connection:
                self._template = connection.execute(MADE).fetchone()
        return self._template

    def drop(self, url: str) -> None:
        name = _name(url)
        self._order(f"DROP DATABASE IF EXISTS {name} WITH (FORCE)")

    @contextlib.contextmanager
    def lent(self) -> Iterator[str]:
        """Give the url of a migrated database without rows for as long as the block lasts.

        The one of the block before is emptied and lent again, which is quicker than a new
        one, unless its tables, triggers or indexes were altered.
        """
        url = self._emptied.pop() if self._emptied else self.fresh()
        try:
            yield url
        finally:
            self._take_back(url)

    def stop(self) -> None:
        """End the server and remove its folder; harmless to repeat."""
        for name in list(self._sessions):
            self._leave(name)
        self._watcher.stdin.close()
        self._watcher.wait(START_S)

    def said(self) -> str:
        log = self.folder / "log"
        return log.read_text(errors="replace")[-2000:] if log.exists() else ""

    def _order(self, statement: str) -> None:
        with self._connect() as connection:
            connection.execute(statement)

    def _connect(self, database: str = "postgres") -> psycopg.Connection:
        return psycopg.connect(host=str(self.folder), user="postgres", dbname=database, autocommit=True)

    def wait(self) -> None:
        ends = time.monotonic() + START_S
        while True:
            try:
                self._connect().close()
                return
            except psycopg.OperationalError as refused:
                if self._watcher.poll() is not None or time.monotonic() > ends:
                    raise RuntimeError(f"PostgreSQL did not start: {refused} {self.said()}") from refused
                time.sleep(0.02)


def _name(url: str) -> str:
    return url.partition("@/")[2].partition("?")[0]


def programs(installed: Path = INSTALLED) -> Path:
    """Return the folder of initdb and postgres, the newest that is installed. Raises RuntimeError."""
    found = [path.parent for path in installed.glob("*/bin/postgres") if (path.parent / "initdb").exists()]
    if found:
        return max(found, key=lambda folder: float(folder.parent.name))
    on_path = shutil.which("postgres")
    if on_path is None or shutil.which("initdb", path=str(Path(on_path).parent)) is None:
        raise RuntimeError(LACKING)
    return Path(on_path).resolve().parent


def start(safe: bool = False) -> Server:
    """Start a server on a unix socket; `safe` writes through to the disk, as soaks need it.

    PostgreSQL refuses to run as root, so root runs it as `postgres` or `nobody`.
    """
    folder = Path(tempfile.mkdtemp(prefix="postgres-"))
    try:
        lowered = _lowered(folder)
        made = [*lowered, str(programs() / "initdb"), "--pgdata", str(folder / "data"), *CLUSTER]
        done = subprocess.run(made, capture_output=True, text=True, cwd=folder)
        if done.returncode:
            raise RuntimeError(f"PostgreSQL's initdb failed: {done.stderr[-2000:]}")
        settings = ["listen_addresses=", f"unix_socket_directories={folder}", "max_connections=100"]
        settings += [] if safe else QUICK
        run = [*lowered, str(programs() / "postgres"), "-D", str(folder / "data")]
        run += [word for setting in settings for word in ("-c", setting)]
        watcher = subprocess.Popen(
            ["sh", "-c", WATCH, "watch", str(folder), *run], stdin=subprocess.PIPE,
            stdout=subprocess.DEVNULL, stderr=subprocess.DEVNULL, cwd="/", start_new_session=True,
        )  # fmt: skip
    except BaseException:
        shutil.rmtree(folder, ignore_errors=True)
        raise
    server = Server(folder, watcher)
    try:
        server.wait()
    except BaseException:
        server.stop()
        raise
    return server


def _lowered(folder: Path) -> list[str]:
    if os.getuid() != 0:
        return []
    names = {entry.pw_name: entry for entry in pwd.getpwall()}
    user = names.get("postgres") or names["nobody"]
    os.chown(folder, user.pw_uid, user.pw_gid)
    return ["setpriv", f"--reuid={user.pw_uid}", f"--regid={user.pw_gid}", "--clear-groups"]
