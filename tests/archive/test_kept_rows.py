"""The database itself refuses to change or remove what was issued."""

import pytest
from sqlalchemy import text
from sqlalchemy.exc import DBAPIError

from heaterapp.archive import tables

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
def test_replace_is_refused(store, firm, table):
    firm.issued()
    _refused(store, f"INSERT OR REPLACE INTO {table} SELECT * FROM {table}")


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
        connection.execute(text("DROP TRIGGER keep_record_update"))
    assert [(fault.table, fault.row) for fault in store.verify().faults] == [("schema", "keep_record_update")]


def test_a_weakened_guard_is_noticed(store):
    with store.database.write() as connection:
        connection.execute(text("DROP TRIGGER keep_log_delete"))
        connection.execute(text("CREATE TRIGGER keep_log_delete BEFORE DELETE ON log BEGIN SELECT 1; END"))
    assert [fault.row for fault in store.verify().faults] == ["keep_log_delete"]
