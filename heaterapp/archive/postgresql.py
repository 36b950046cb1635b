"""What PostgreSQL needs of its own: how writers wait for each other, and its triggers and index looked at."""

import re
from collections.abc import Iterator
from contextlib import contextmanager

from sqlalchemy import Connection, Engine, create_engine, event

SETTINGS = {
    "synchronous_commit": "on",
    "default_transaction_isolation": "read\\ committed",
    "lock_timeout": "30s",
    # A statement asked often is planned without its words, and a rare word looked for in every record: 2 s
    # among 100,000, where a plan made for the word takes 15 ms.
    "plan_cache_mode": "force_custom_plan",
    # A machine that froze or was cut off in the middle of a transaction lets the others go on.
    "idle_in_transaction_session_timeout": "300s",
    "tcp_keepalives_idle": "30",
    "tcp_keepalives_interval": "10",
    "tcp_keepalives_count": "3",
}
KEPT_ALIVE = {"connect_timeout": 10, "keepalives_idle": 30, "keepalives_interval": 10, "keepalives_count": 3}
WRITING = 0x68656174
"""The number of the advisory lock that writers of an archive take; one in each database."""
# As pg_trigger.tgtype has them: 1 a row's, 2 before, 8 delete, 16 update, 32 truncate.
KINDS = {"update": 1 + 2 + 16, "delete": 1 + 2 + 8, "truncate": 2 + 32}
_TRIGGERS = """
SELECT tgname, relname, tgtype, tgenabled::text, tgqual IS NULL AND tgattr::text = '', prosrc
FROM pg_trigger JOIN pg_class ON pg_class.oid = tgrelid JOIN pg_proc ON pg_proc.oid = tgfoid
WHERE NOT tgisinternal AND pg_table_is_visible(tgrelid)
"""
_INDEXES = """
SELECT relname, pg_get_indexdef(indexrelid), indisvalid AND indisready
FROM pg_index JOIN pg_class ON pg_class.oid = indexrelid WHERE pg_table_is_visible(indexrelid)
"""
_OF_FACTS = "\"substring\"(facts, '\"work_date\":\""
INDEXED = {
    "ix_finding_words": "gin (array_to_tsvector(string_to_array(words",
    "ix_finding_month": f"""btree (organisation, COALESCE({_OF_FACTS}([0-9]{{4}}-[0-9]{{2}})'""",
    "ix_finding_day": f"""btree (organisation, {_OF_FACTS}([0-9]{{4}}-[0-9]{{2}}-[0-9]{{2}})'""",
}
_BODY = re.compile(r"AS \$\$(.*?)\$\$", re.DOTALL)
_ON = re.compile(r" ON (\w+) ")


def make_engine(url: str) -> Engine:
    """Return an engine whose writing transactions follow one another."""
    said = " ".join(f"-c {name}={value}" for name, value in SETTINGS.items())
    # A connection that the server ended (a restart, a network) is noticed before it is used.
    # What somebody typed, a password's hash included, is in no message of an error.
    engine = create_engine(
        url, pool_pre_ping=True, hide_parameters=True, connect_args={"options": said, **KEPT_ALIVE}
    )
    event.listen(engine, "begin", _begin)
    return engine


def _begin(connection: Connection) -> None:
    # What SQLite's write lock gives, all processes and machines together: each writer sees all that the
    # one before it committed, none waits for another that waits for it, and ids are given in order.
    if connection.get_execution_options().get("writes"):
        connection.connection.driver_connection.execute("SELECT pg_advisory_xact_lock(%s)", [WRITING])


@contextmanager
def by_word_index(connection: Connection) -> Iterator[None]:
    """Let no statement meanwhile read the whole of a table instead, whatever the planner thinks of it."""
    # What is set after a savepoint goes with it: what stood before stands again, after an error too.
    point = connection.begin_nested()
    try:
        connection.exec_driver_sql("SET LOCAL enable_seqscan = off; SET LOCAL enable_indexscan = off")
        yield
    finally:
        point.rollback()


def guard(name: str, table: str, act: str, permitted: str | None) -> str:
    going_on = "RETURN NEW" if act == "UPDATE" else "RETURN OLD"
    unless = f"IF {permitted} THEN {going_on}; END IF; " if permitted else ""
    return (
        f"CREATE FUNCTION {name}() RETURNS trigger LANGUAGE plpgsql AS $$ BEGIN {unless}"
        f"RAISE EXCEPTION '{table} rows are never changed'; END $$;"
        f" CREATE TRIGGER {name} BEFORE {act} ON {table} FOR EACH ROW EXECUTE FUNCTION {name}()"
    )


def truncate_guard(name: str, table: str) -> str:
    return (
        f"CREATE FUNCTION {name}() RETURNS trigger LANGUAGE plpgsql AS $$ BEGIN"
        f" RAISE EXCEPTION '{table} rows are never changed'; END $$;"
        f" CREATE TRIGGER {name} BEFORE TRUNCATE ON {table} FOR EACH STATEMENT EXECUTE FUNCTION {name}()"
    )


def schema_faults(
    connection: Connection, guards: dict[str, str], index: dict[str, str]
) -> list[tuple[str, str]]:
    """Return (name, what) for each of our triggers and indexes that is missing, disabled or altered."""
    triggers = {row[0]: tuple(row[1:]) for row in connection.exec_driver_sql(_TRIGGERS)}
    faults = []
    for name, statement in guards.items():
        kind = KINDS[name.rpartition("_")[2]]
        wanted = (_ON.search(statement)[1], kind, "O", True, _BODY.search(statement)[1])
        found = triggers.get(name)
        if found is None or found[2] == "D":
            faults.append((name, "missing or disabled"))
        elif (*found[:2], found[2].replace("A", "O"), *found[3:]) != wanted:
            faults.append((name, "not as it was made"))
    made = {row[0]: tuple(row[1:]) for row in connection.exec_driver_sql(_INDEXES)}
    faults += [(name, "missing") for name in index if name not in made]
    # The server writes the statement in words of its own; what is indexed must be in it.
    return faults + [
        (name, "not as it was made")
        for name, (said, good) in made.items()
        if name in index and not (good and INDEXED[name] in said)
    ]
