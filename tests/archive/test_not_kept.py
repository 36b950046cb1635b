"""A full disk and another writer are told as what they are, by both engines; other errors are left alone."""

import sqlite3

import psycopg
import pytest
from sqlalchemy.exc import DBAPIError

from heaterapp.archive import StoreBusy, StoreFull, dialect, worded
from heaterapp.archive.not_kept import BUSY, FULL, LOST, UNWRITABLE

wrong = psycopg.errors


@pytest.mark.parametrize(
    ("orig", "kind", "said"),
    [
        (wrong.DiskFull(), StoreFull, FULL), (wrong.ReadOnlySqlTransaction(), StoreFull, UNWRITABLE),
        (wrong.LockNotAvailable(), StoreBusy, BUSY), (wrong.AdminShutdown(), StoreBusy, LOST),
        (psycopg.OperationalError("connection failed"), StoreBusy, LOST),
    ],
)  # fmt: skip
def test_what_postgresql_says_is_told(orig, kind, said):
    for error in (orig, DBAPIError("INSERT", {}, orig)):
        told = worded(error)
        assert (type(told), str(told)) == (kind, said)


def test_what_means_something_else_is_left_alone():
    for orig in (wrong.UniqueViolation(), sqlite3.IntegrityError("UNIQUE"), ValueError("database is locked")):
        assert worded(orig) is None
        assert worded(DBAPIError("INSERT", {}, orig)) is None


def test_another_writer_of_sqlite_is_told(store, firm, folder, monkeypatch):
    monkeypatch.setattr(dialect, "PATIENT_S", 0)
    monkeypatch.setattr(dialect, "BUSY_S", 0)
    other = sqlite3.connect(folder / "archive.sqlite3", isolation_level=None)
    other.execute("BEGIN IMMEDIATE")
    try:
        with pytest.raises(sqlite3.OperationalError) as refused:
            store.holds.place(firm.id, firm.job.id, firm.office.id, "claim")
    finally:
        other.close()
    assert isinstance(worded(refused.value), StoreBusy)
