"""Backups as they are made: which stay, and what stops one before it is begun."""

import shutil

import pytest
from sqlalchemy import text

from heaterapp.archive import backups


def test_the_newest_stay_and_what_is_not_ours_is_left_alone(store, firm, tmp_path):
    folder = tmp_path / "backups"
    firm.issued()
    made = store.backups.make(folder)
    for day in range(10, 14):
        shutil.copytree(made.path, folder / f"heaterapp-202603{day}T000000Z")
    (folder / "heaterapp-20200101T000000Z").mkdir()
    (folder / "heaterapp-20200102T000000Z").mkdir()
    (folder / "heaterapp-20200102T000000Z" / "manifest.json").write_text("{}")
    (folder / "holiday photos").mkdir()
    (folder / "heaterapp-20260314T120000Z").rename(folder / "heaterapp-20260314T110000Z")
    store.backups.make(folder, keep=2)
    assert sorted(path.name for path in folder.iterdir()) == [
        "heaterapp-20200101T000000Z", "heaterapp-20200102T000000Z", "heaterapp-20260314T110000Z",
        "heaterapp-20260314T120000Z", "holiday photos", backups.later.NAME,
    ]  # fmt: skip
    with pytest.raises(backups.BackupRefused, match="there already"):
        store.backups.make(folder, keep=1)


def test_an_archive_with_a_fault_gives_no_backup_and_the_old_ones_stay(store, firm, tmp_path):
    firm.issued()
    first = store.backups.make(tmp_path / "backups")
    first.path.rename(tmp_path / "backups" / "heaterapp-20260313T120000Z")
    with store.database.write() as connection:
        connection.exec_driver_sql("DROP TRIGGER keep_record_update")
        connection.execute(text("UPDATE record SET number = 'C-000009'"))
    with pytest.raises(backups.BackupRefused, match=r"does not verify.*record"):
        store.backups.make(tmp_path / "backups", keep=1)
    left = {path.name for path in (tmp_path / "backups").iterdir()}
    assert left == {"heaterapp-20260313T120000Z", backups.later.NAME}


def test_a_disk_too_small_is_told_before_anything_is_begun(store, firm, tmp_path, monkeypatch):
    monkeypatch.setattr(backups.folders, "room", lambda folder: 1_500_000)
    with pytest.raises(backups.BackupRefused, match="has 1 MB free and a backup needs about"):
        store.backups.make(tmp_path / "backups")
    assert list((tmp_path / "backups").iterdir()) == []


def test_a_source_is_named_by_what_is_wrong_with_it(tmp_path):
    (tmp_path / "empty").mkdir()
    with pytest.raises(backups.BackupRefused, match="neither an archive's folder nor a backup"):
        backups.open_place(str(tmp_path / "empty"))
    (tmp_path / "archive.sqlite3").write_bytes(b"not a database at all" * 100)
    with pytest.raises(backups.BackupRefused, match="not a database"):
        backups.open_place(str(tmp_path))
