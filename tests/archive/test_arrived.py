"""What came from a phone is part of its record: verified with it, and gone with it when it is erased."""

import pytest
from sqlalchemy import text

from heaterapp import archive
from heaterapp.archive.shapes import Arrival, Photo

DRAFT = "6f1c2d3e-0000-4000-8000-000000000001"
PARCEL = b'{"homeowner": "Ada Larkin"}'
PICTURE = Photo("plate", "", True, "2026-11-26T10:00:00Z", "a" * 64, 4, 3, b"a picture")


@pytest.fixture
def arrived(store, firm, papers):
    store.uploads.hold(firm.id, firm.office.id, PICTURE.sha256, PICTURE.body, 4, 3)
    arrival = Arrival({"owner_name": "Ada Larkin"}, {"signatures": []}, 0, '{"report": {}}')
    wish = firm.wish(job_id=DRAFT, key=DRAFT, parcel=PARCEL, photos=(PICTURE,), arrival=arrival)
    return store.issue_and_finish(wish, papers)


def faults(store):
    return [(one.table, one.field) for one in store.verify().faults]


def test_a_record_takes_the_held_photos_and_verifies(store, firm, arrived):
    assert store.uploads.held(firm.id, [PICTURE.sha256]) == set()
    assert store.records.get(firm.id, arrived.record).photos == (PICTURE,)
    assert store.verify().ok


@pytest.mark.parametrize(
    "column", ["draft", "content_sha256", "report_sha256", "person", "received_at", "differs"]
)
def test_a_changed_note_of_what_arrived_is_found(store, firm, arrived, column):
    other = firm.office.id if column == "person" else "other"
    with store.database.write() as connection:
        connection.execute(text(f"UPDATE arrival SET {column} = :other"), {"other": other})
    assert faults(store) == [("arrival", column)]


def test_a_note_that_is_gone_is_found(store, firm, arrived):
    with store.database.write() as connection:
        connection.exec_driver_sql("DELETE FROM arrival")
    assert faults(store) == [("arrival", "draft")]


def test_erasing_takes_the_parcel_and_the_photos(store, firm, arrived):
    store.erase(firm.id, arrived.record, firm.office.id, "owner asked")
    with store.database.read() as connection:
        bodies = connection.exec_driver_sql("SELECT name, body FROM payload WHERE body IS NOT NULL").all()
    assert bodies == []
    known = store.arrivals.by_draft(firm.id, DRAFT)
    assert (known.number, known.content_sha256, known.report_sha256, known.differs) == (
        arrived.number,
        "",
        "",
        "",
    )
    with pytest.raises(archive.Erased):
        store.records.file(firm.id, arrived.record, "photo-1.jpg")
    assert store.verify().ok


@pytest.mark.parametrize("column", ["content_sha256", "differs"])
def test_what_outlived_an_erasure_is_found(store, firm, arrived, column):
    store.erase(firm.id, arrived.record, firm.office.id, "owner asked")
    with store.database.write() as connection:
        connection.exec_driver_sql(f"UPDATE arrival SET {column} = 'x'")
    assert faults(store) == [("arrival", column)]
