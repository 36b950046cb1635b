"""Content that is back after its erasure is noticed, and an erasure is its own organisation's alone."""

import pytest
from sqlalchemy import event

from heaterapp import archive
from heaterapp.archive import dialect, tables
from heaterapp.archive.bodies import SMALLEST
from tests.archive.conftest import NOON, a_firm
from tests.archive.test_recompute import altered

BODY = "body or salt"


@pytest.fixture
def erased(store, firm):
    record = firm.issued(job_id=firm.new_job().id).record
    with store.database.read() as connection:
        before = connection.execute(tables.payload.select().where(tables.payload.c.record == record)).all()
    store.erase(firm.id, record, firm.office.id, "asked for")
    return record, before[0]


@pytest.mark.parametrize("what", [("salt", "body"), ("salt",), ("body",)])
def test_content_that_is_back_is_a_fault_of_both_verifies(store, erased, what):
    record, row = erased
    this = (tables.payload.c.record == record) & (tables.payload.c.name == row.name)
    altered(store, tables.payload, {name: getattr(row, name) for name in what}, this)
    for found in (store.verify(), store.verify_recent()):
        told = [one for one in found.faults if one.table == "payload"]
        assert [one.row for one in told] == [f"record {record} {row.name}"]
        assert "though it was erased" in str(told[0])


def test_another_firms_erasure_covers_for_no_record_of_ours(store, firm, other, folder):
    """The log of one firm names a record of the other as erased: what is gone there is still a fault."""
    record = firm.issued().record
    with store.database.write() as connection:
        from heaterapp.archive import log

        log.append(connection, other.id, "erase", "2026-03-14T12:00:00Z", None, record, {"reason": "x"})
    altered(store, tables.payload, {"body": None, "salt": None}, tables.payload.c.record == record)
    for found in (store.verify(), store.verify_recent()):
        assert "gone without an erasure in the log" in str(found.faults)


def test_a_body_that_lies_away_under_an_erased_digest_is_a_fault(folder, tmp_path):
    store = archive.open_store(data_dir=folder, clock=lambda: NOON, blobs=f"file://{tmp_path}/blobs")
    firm = a_firm(store, "harborlight", "Harborlight Plumbing")
    large = b"%PDF " + b"x" * SMALLEST
    store.jobs.reopen(firm.id, firm.job.id)
    record = store.issue_and_finish(firm.wish(), lambda _: {"certificate.pdf": large}).record
    with store.database.read() as connection:
        this = (tables.payload.c.record == record, tables.payload.c.name == "certificate.pdf")
        digest = connection.execute(tables.payload.select().where(*this)).one().digest
    store.erase(firm.id, record, firm.office.id, "asked for")
    assert store.verify().ok
    store.database.blobs.put(digest, large)
    assert "still lies in the place for blobs" in str(store.verify().faults)
    store.close()


def test_what_an_erasure_touches_is_compacted_on_postgresql_too(store, firm):
    """Of every table that the statements of an erasure change, the server rewrites the file."""
    firm.issued()
    touched = set()

    def watch(connection, cursor, statement, parameters, context, many):
        words = statement.split()
        if words[0] in ("UPDATE", "DELETE"):
            touched.add(words[1] if words[0] == "UPDATE" else words[2])

    event.listen(store.database.engine, "before_cursor_execute", watch)
    store.erase_job(firm.id, firm.job.id, firm.office.id, "asked for")
    assert {"payload", "arrival", "upload", "job"} <= touched
    # The ends of the logs hold no content.
    assert touched - set(dialect.ERASED_FROM) <= {"log_head"}
