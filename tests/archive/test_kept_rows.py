"""The database itself refuses to change or remove what was issued."""

import pytest
from sqlalchemy import text
from sqlalchemy.exc import DBAPIError

from heaterapp.archive import office_tables, tables
from heaterapp.archive.dialect import schema_faults

CHANGES = {
    "log": "at = 'x'",
    "ruleset": "version = 'x'",
    "record": "number = 'x'",
    "payload": "digest = 'x'",
    "submission": "key = 'x'",
    "finding": "words = 'x'",
}


def _refused(store, sql):
    with pytest.raises(DBAPIError, match="rows are never changed"), store.database.write() as connection:
        connection.execute(text(sql))
    assert store.verify().ok


def test_the_list_of_kept_tables_is_covered():
    assert set(CHANGES) == set(tables.RECORDED)


@pytest.mark.parametrize("table", CHANGES)
def test_update_is_refused(store, firm, table):
    firm.issued()
    _refused(store, f"UPDATE {table} SET {CHANGES[table]}")


@pytest.mark.parametrize("table", CHANGES)
def test_delete_is_refused(store, firm, table):
    firm.issued()
    _refused(store, f"DELETE FROM {table}")


@pytest.mark.parametrize("table", CHANGES)
def test_replace_and_truncate_are_refused(store, firm, table):
    firm.issued()
    if store.database.engine.dialect.name == "sqlite":
        _refused(store, f"INSERT OR REPLACE INTO {table} SELECT * FROM {table}")
        return
    column = CHANGES[table].partition(" ")[0]
    _refused(
        store,
        f"INSERT INTO {table} SELECT * FROM {table} ON CONFLICT ON CONSTRAINT pk_{table}"
        f" DO UPDATE SET {column} = 'x'",
    )
    _refused(store, f"TRUNCATE {table} CASCADE")


def test_content_cannot_be_emptied_without_an_erasure_in_the_log(store, firm):
    firm.issued()
    _refused(store, "UPDATE payload SET salt = NULL, body = NULL")


def test_an_erasure_permits_emptying_and_nothing_else(store, firm):
    record = firm.issued().record
    firm.issued(job_id=firm.new_job().id)
    store.erase(firm.id, record, firm.office.id, "owner asked")
    _refused(store, f"UPDATE payload SET body = 'other' WHERE record = {record}")
    _refused(store, f"UPDATE payload SET digest = 'x', salt = NULL, body = NULL WHERE record = {record}")
    _refused(store, f"UPDATE payload SET salt = NULL, body = NULL WHERE record = {record + 1}")
    _refused(store, f"DELETE FROM payload WHERE record = {record}")


def test_a_missing_guard_is_noticed(store, firm):
    firm.issued()
    with store.database.write() as connection:
        on = "" if store.database.engine.dialect.name == "sqlite" else " ON record"
        connection.execute(text(f"DROP TRIGGER keep_record_update{on}"))
    assert [(fault.table, fault.row) for fault in store.verify().faults] == [("schema", "keep_record_update")]


SQLITE_WEAKENED = {
    "keep_log_delete": (
        "DROP TRIGGER keep_log_delete",
        "CREATE TRIGGER keep_log_delete BEFORE DELETE ON log BEGIN SELECT 1; END",
    )
}
POSTGRES_WEAKENED = {
    "keep_log_delete": (
        "CREATE OR REPLACE FUNCTION keep_log_delete() RETURNS trigger LANGUAGE plpgsql"
        " AS $$ BEGIN RETURN OLD; END $$",
    ),
    "keep_record_update": ("ALTER TABLE record DISABLE TRIGGER keep_record_update",),
    "keep_payload_truncate": ("DROP TRIGGER keep_payload_truncate ON payload",),
    "keep_void_delete": (
        "DROP TRIGGER keep_void_delete ON void",
        "CREATE TRIGGER keep_void_delete AFTER DELETE ON void FOR EACH ROW EXECUTE FUNCTION keep_void_delete()",
    ),
    "ix_finding_words": (
        "DROP INDEX ix_finding_words",
        "CREATE INDEX ix_finding_words ON finding (record)",
    ),
    "ix_finding_month": ("DROP INDEX ix_finding_month",),
    "ix_finding_day": ("DROP INDEX ix_finding_day", "CREATE INDEX ix_finding_day ON finding (record)"),
}


def test_a_weakened_guard_is_noticed(store):
    sqlite = store.database.engine.dialect.name == "sqlite"
    for name, statements in (SQLITE_WEAKENED if sqlite else POSTGRES_WEAKENED).items():
        with store.database.engine.connect() as connection:
            for statement in statements:
                connection.execute(text(statement))
            found = schema_faults(connection, tables.RECORDED + office_tables.RECORDED, whole=False)
            connection.rollback()
        assert [fault[0] for fault in found] == [name]
    assert store.verify().ok
