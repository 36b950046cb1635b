"""Many writers on one file: who waits gets in once the lock is free, or is told that it is not."""

import sqlite3
import threading
import time
from contextlib import closing

import pytest

from heaterapp.archive import dialect


@pytest.fixture
def held(folder, firm):
    """Another's write lock, let go by calling `held()`."""
    with closing(sqlite3.connect(folder / "archive.sqlite3", isolation_level=None, check_same_thread=False)) as other:
        other.execute("BEGIN IMMEDIATE")
        yield lambda: other.execute("COMMIT") if other.in_transaction else None


@pytest.mark.parametrize("patient_s", [0, 4])
def test_a_writer_waits_for_its_turn(store, firm, folder, monkeypatch, patient_s):
    monkeypatch.setattr(dialect, "PATIENT_S", patient_s)
    with closing(sqlite3.connect(folder / "archive.sqlite3", isolation_level=None, check_same_thread=False)) as other:
        other.execute("BEGIN IMMEDIATE")
        letting_go = threading.Timer(0.3, lambda: other.execute("COMMIT"))
        letting_go.start()
        began = time.monotonic()
        firm.new_job()
        assert time.monotonic() - began > 0.2
        letting_go.join()
    with store.database.read() as connection:
        assert connection.exec_driver_sql("PRAGMA busy_timeout").scalar() == dialect.BUSY_S * 1000


def test_one_that_never_gets_its_turn_is_told(store, firm, held, monkeypatch):
    monkeypatch.setattr(dialect, "PATIENT_S", 0)
    monkeypatch.setattr(dialect, "BUSY_S", 0.2)
    with pytest.raises(sqlite3.OperationalError, match="locked"):
        firm.new_job()
    held()
    assert firm.new_job().state == "draft"
