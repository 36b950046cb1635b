"""What is checked at start: the ends of the chains, in work that does not grow with the archive."""

import sqlite3

import pytest
from sqlalchemy import event


@pytest.fixture
def raw(folder):
    opened = sqlite3.connect(folder / "archive.sqlite3", isolation_level=None)
    yield opened
    opened.close()


def _forge(raw, table, change):
    name = f"keep_{table}_update"
    (guard,) = raw.execute("SELECT sql FROM sqlite_master WHERE name = ?", (name,)).fetchone()
    raw.execute(f"DROP TRIGGER {name}")
    raw.execute(f"UPDATE {table} SET {change}")
    raw.execute(guard)


def _papers(firm, count):
    return [firm.issued(job_id=firm.new_job().id).record for _ in range(count)]


def test_an_untouched_archive_has_no_fault(store, firm, other):
    _papers(firm, 4)
    for entries in (1, 2, 3, 100):
        assert store.verify_recent(entries).faults == ()


def test_an_erased_record_is_no_fault(store, firm):
    store.erase(firm.id, _papers(firm, 2)[0], firm.office.id, "owner asked")
    assert store.verify_recent().faults == ()


@pytest.mark.parametrize(
    ("table", "change"),
    [
        ("payload", "body = x'00' WHERE record = 3 AND name = 'certificate.pdf'"),
        ("record", "check_code = 'x' WHERE id = 3"),
        ("finding", "words = 'x' WHERE record = 3"),
        ("log", "body = '{}' WHERE seq = 7"),
    ],
)
def test_a_change_in_the_newest_part_is_named(store, firm, raw, table, change):
    _papers(firm, 3)
    _forge(raw, table, change)
    assert table in {fault.table for fault in store.verify_recent(2).faults}


def test_a_head_that_is_not_the_newest_entrys_is_named(store, firm, raw):
    _papers(firm, 1)
    raw.execute("UPDATE log_head SET seq = seq + 1 WHERE organisation = ?", (firm.id,))
    assert [fault.table for fault in store.verify_recent().faults] == ["log_head"]


def test_a_guard_that_was_taken_away_is_named(store, firm, raw):
    raw.execute("DROP TRIGGER keep_record_delete")
    assert [fault.row for fault in store.verify_recent().faults] == ["keep_record_delete"]


def test_a_change_further_back_is_left_to_the_command(store, firm, raw):
    _papers(firm, 3)
    _forge(raw, "payload", "body = x'00' WHERE record = 1 AND name = 'certificate.pdf'")
    assert store.verify_recent(2).faults == ()
    assert {fault.row for fault in store.verify().faults} == {"record 1 certificate.pdf"}


def test_the_work_does_not_grow_with_the_archive(store, firm):
    asked = []
    event.listen(store.database.engine, "before_cursor_execute", lambda *more: asked.append(more[2]))

    def work():
        asked.clear()
        found = store.verify_recent(4)
        return len(asked), found.entries, found.records, found.payloads

    _papers(firm, 4)
    before = work()
    _papers(firm, 12)
    assert work() == before


def test_no_batch_of_the_whole_check_reads_a_whole_table(store, firm, folder):
    _papers(firm, 2)
    asked = []
    event.listen(
        store.database.engine, "before_cursor_execute", lambda *more: asked.append((more[2], more[3]))
    )
    store.verify()
    batches = [one for one in asked if "record IN (" in one[0]]
    assert len(batches) >= 5
    with store.database.read() as connection:
        plans = [
            step[3]
            for statement, values in batches
            for step in connection.exec_driver_sql(f"EXPLAIN QUERY PLAN {statement}", values)
        ]
    assert not [step for step in plans if step.startswith("SCAN")], plans


def test_a_record_that_is_gone_is_named(store, firm, raw):
    gone = _papers(firm, 3)[-1]
    (guard,) = raw.execute("SELECT sql FROM sqlite_master WHERE name = 'keep_record_delete'").fetchone()
    raw.execute("DROP TRIGGER keep_record_delete")
    raw.execute("PRAGMA foreign_keys=OFF")
    raw.execute("DELETE FROM record WHERE id = ?", (gone,))
    raw.execute(guard)
    assert f"record record {gone} id: missing" in map(str, store.verify_recent().faults)
