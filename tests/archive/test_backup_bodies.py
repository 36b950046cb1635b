"""A backup is complete in itself, wherever the bodies of its records lie."""

import threading

import pytest
from sqlalchemy import text

from heaterapp import archive
from heaterapp.archive import backups
from heaterapp.archive.backups import engines


def compared(one, other):
    places = [backups.open_place(str(named)) for named in (one, other)]
    try:
        return [str(found) for found in backups.differences(*places)]
    finally:
        for place in places:
            place.close()


def test_bodies_that_lie_elsewhere_are_in_the_backup(store, firm, tmp_path):
    """As with a blob store: the rows keep salt and digest, the bytes lie under the digest."""
    for _ in range(12):
        firm.issued()
    away = {}
    with engines.unguarded(store.database, "payload"), store.database.write() as connection:
        for digest, body in connection.execute(text("SELECT digest, body FROM payload")).all():
            away[digest] = body
        connection.execute(text("UPDATE payload SET body = NULL"))
    with pytest.raises(backups.BackupRefused, match="no blob store is set"):
        store.backups.make(tmp_path / "backups")
    assert list((tmp_path / "backups").iterdir()) == []
    made = backups.Backups(store.database, away.__getitem__).make(tmp_path / "backups")
    backups.restore(made.path, tmp_path / "again")
    again = archive.open_store(data_dir=tmp_path / "again")
    assert again.verify().ok
    assert again.records.file(firm.id, 1, "certificate.pdf").startswith(b"%PDF")
    again.close()


def test_a_body_erased_meanwhile_is_copied_anew_and_a_lost_one_is_named(store, firm, tmp_path):
    first, second = firm.issued(), firm.issued(job_id=firm.new_job().id)
    away = {}
    with engines.unguarded(store.database, "payload"), store.database.write() as connection:
        for digest, body in connection.execute(
            text("SELECT digest, body FROM payload WHERE record = 1")
        ).all():
            away[digest] = body
        connection.execute(text("UPDATE payload SET body = NULL WHERE record = 1"))
    asked, one_by_one = [], threading.Lock()

    def fetch(digest):
        with one_by_one:
            if not asked:
                store.erase(firm.id, first.record, firm.office.id, "asked for by the homeowner")
            asked.append(digest)

    made = backups.Backups(store.database, fetch).make(tmp_path / "backups")
    backups.restore(made.path, tmp_path / "again")
    assert compared(tmp_path, tmp_path / "again") == []
    # The second copy had nothing to ask for.
    assert len(asked) == len(set(asked)) == len(away)
    with engines.unguarded(store.database, "payload"), store.database.write() as connection:
        connection.execute(text("UPDATE payload SET body = NULL WHERE record = 2"))
    with pytest.raises(backups.BackupRefused, match=r"The body \w+ is not in the blob store"):
        backups.Backups(store.database, lambda digest: None).make(tmp_path / "others")
    assert list((tmp_path / "others").iterdir()) == []
    assert second.record == 2


def test_a_place_for_bodies_that_cannot_be_reached_is_told(store, firm, tmp_path):
    def gone(digest):
        raise archive.BlobsFailed("The place for blobs did not give a file: no route")

    firm.issued()
    with engines.unguarded(store.database, "payload"), store.database.write() as connection:
        connection.execute(text("UPDATE payload SET body = NULL"))
    with pytest.raises(backups.BackupRefused, match="No backup was made: The place for blobs did not give"):
        backups.Backups(store.database, gone).make(tmp_path / "backups")
    assert list((tmp_path / "backups").iterdir()) == []
