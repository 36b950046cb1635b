"""Erasing a record's content leaves its place in the log, and the chain still verifies."""

import pytest
from sqlalchemy import text

from heaterapp.archive import Erased, Invalid, KeyConflict, NotFound


@pytest.fixture
def erased(store, firm):
    issued = firm.issued()
    before = store.log.head(firm.id)
    store.erase(firm.id, issued.record, firm.office.id, "owner asked")
    assert store.log.head(firm.id) != before
    return issued


def test_the_chain_verifies_and_the_act_stands_in_it(store, firm, erased):
    assert store.verify().faults == ()
    entry = store.log.entries(firm.id)[-1]
    assert (entry.act, entry.record, entry.actor) == ("erase", erased.record, firm.office.id)


def test_content_and_papers_are_gone(store, firm, erased):
    with pytest.raises(Erased):
        store.records.get(firm.id, erased.record)
    with pytest.raises(Erased):
        store.records.file(firm.id, erased.record, "certificate.pdf")
    assert store.find(firm.id, "oak").hits == ()
    public = store.records.check(erased.number, erased.check_code)
    assert public is not None
    assert public.files == {}


def test_no_word_of_it_is_left_in_the_compacted_file(store, firm, erased, folder):
    with store.database.engine.connect() as connection:
        connection.connection.driver_connection.execute(
            "INSERT INTO finding_words(finding_words) VALUES ('optimize')"
        )
        connection.connection.driver_connection.execute("VACUUM")
        connection.connection.driver_connection.execute("PRAGMA wal_checkpoint(TRUNCATE)").fetchall()
    kept = (folder / "archive.sqlite3").read_bytes().lower()
    assert b"harborlight" in kept
    for word in (b"mina park", b"mina", b"ab-0012345", b"storage_gal"):
        assert word not in kept, word


def test_number_and_history_stay(store, firm, erased):
    assert [hit.number for hit in store.records.of_job(firm.id, firm.job.id)] == [erased.number]
    assert firm.issued().number == "C-000002"
    assert store.verify().ok


def test_the_used_key_still_makes_no_second_record(store, firm):
    wish = firm.wish()
    record = store.issue(wish).record
    store.erase(firm.id, record, firm.office.id, "owner asked")
    with pytest.raises(KeyConflict):
        store.issue(wish)


def test_erasing_twice_adds_no_second_entry(store, firm, erased):
    head = store.log.head(firm.id)
    store.erase(firm.id, erased.record, firm.office.id, "again")
    assert store.log.head(firm.id) == head


def test_an_unfinished_record_is_not_waited_for_any_more(store, firm, papers):
    record = store.issue(firm.wish()).record
    store.erase(firm.id, record, firm.office.id, "owner asked")
    assert store.finish_pending(papers).finished == ()
    assert store.verify().ok


def test_refusals(store, firm, other, erased):
    with pytest.raises(NotFound):
        store.erase(other.id, erased.record, other.office.id, "not theirs")
    with pytest.raises(NotFound):
        store.erase(firm.id, erased.record, other.office.id, "not here")
    with pytest.raises(Invalid):
        store.erase(firm.id, erased.record, firm.office.id, " ")


def test_an_emptied_row_without_its_entry_is_found(store, firm, erased):
    with store.database.write() as connection:
        on = "" if store.database.engine.dialect.name == "sqlite" else " ON log"
        connection.execute(text(f"DROP TRIGGER keep_log_delete{on}"))
        connection.execute(text("DELETE FROM log WHERE act = 'erase'"))
    found = {(fault.table, fault.field) for fault in store.verify().faults}
    assert {("payload", "body or salt"), ("log_head", "digest"), ("finding", "record")} <= found
