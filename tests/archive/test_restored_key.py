"""The key of the session cookies: put only beside an archive that is kept, never over another one."""

from unittest.mock import Mock

import pytest

from heaterapp.archive import backups
from heaterapp.archive.backups import restoring


@pytest.fixture
def backup(store, firm, folder, tmp_path):
    (folder / "secret-key").write_bytes(b"the key")
    return store.backups.make(tmp_path / "backups", folder / "secret-key").path


@pytest.mark.parametrize("to_server", [False, True])
def test_a_key_of_another_archive_is_never_written_over(backup, postgres_url, tmp_path, to_server):
    place = tmp_path / "again"
    place.mkdir()
    (place / "secret-key").write_bytes(b"of another archive")
    with pytest.raises(backups.BackupRefused, match="another key than the backup's"):
        backups.restore(backup, place, postgres_url if to_server else None)
    assert [(one.name, one.read_bytes()) for one in place.iterdir()] == [
        ("secret-key", b"of another archive")
    ]


def test_a_key_is_put_only_once_the_database_is_kept(backup, postgres_url, tmp_path, monkeypatch):
    key, seen, usual = tmp_path / "again" / "secret-key", [], restoring._put_key

    def put(place, inside):
        opened = backups.engines.opened(postgres_url)
        with opened.read() as connection:
            seen.append(backups.rows.counts(connection)["organisation"])
        opened.close()
        usual(place, inside)

    monkeypatch.setattr(restoring, "_put_key", put)
    with monkeypatch.context() as failing:
        failing.setattr(restoring.faults, "at", Mock(side_effect=[None] * 4 + [OSError(5, "it broke")]))
        with pytest.raises(backups.BackupRefused, match="Nothing was restored"):
            backups.restore(backup, tmp_path / "again", postgres_url)
    assert (seen, key.exists()) == ([], False)
    backups.restore(backup, tmp_path / "again", postgres_url)
    assert (seen, key.read_bytes()) == ([1], b"the key")


def test_a_key_that_cannot_be_put_is_told_as_that_alone(backup, postgres_url, tmp_path, monkeypatch):
    monkeypatch.setattr(restoring, "_put_key", Mock(side_effect=OSError(13, "no right to it")))
    with pytest.raises(backups.BackupRefused, match="The database is restored, its key is not"):
        backups.restore(backup, tmp_path / "again", postgres_url)
