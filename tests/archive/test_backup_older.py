"""A backup that an older program made comes back, and is brought up to date on the way."""

import pytest

from heaterapp import archive
from heaterapp.archive import backups
from heaterapp.archive.backups import engines, manifest
from heaterapp.archive.database import Database, newest_revision
from heaterapp.drilling import drill

OLDER = "0004"


@pytest.fixture
def older(tmp_path):
    """A backup of an empty archive as an older program would have made it."""
    folder = tmp_path / "heaterapp-20250314T120000Z"
    folder.mkdir()
    old = Database(f"sqlite:///{folder / manifest.DATABASE}")
    old.upgrade(OLDER)
    old.close()
    engines.as_one_file(folder / manifest.DATABASE)
    facts = {"made_at": "2025-03-14T12:00:00Z", "program_version": "0.0.9", "schema": OLDER}
    verified = {"entries": 0, "records": 0, "contents": 0}
    manifest.write(
        folder, {**facts, "organisations": [], "counts": {"record": 0, "job": 0}, "verified": verified}
    )
    return folder


def test_it_is_brought_up_to_date_in_a_folder(older, tmp_path):
    before = manifest.digest_of(older / manifest.DATABASE)
    backups.restore(older, tmp_path / "again")
    again = archive.open_store(data_dir=tmp_path / "again", upgrade=False)
    assert again.database.revision() == newest_revision() > OLDER
    assert again.verify().ok
    again.close()
    assert manifest.digest_of(older / manifest.DATABASE) == before


def test_it_is_brought_up_to_date_on_a_server(older, tmp_path, postgres_url):
    backups.restore(older, tmp_path / "again", postgres_url)
    again = archive.open_store(url=postgres_url, upgrade=False)
    assert again.verify().ok
    again.close()


def test_the_drill_says_that_it_is_not_compared_row_by_row(older, tmp_path):
    said = []
    assert drill(older, 0, place=tmp_path, say=said.append)
    assert "not row by row: an older version made it" in said[2]


def test_it_cannot_be_compared_as_it_is(older):
    with pytest.raises(backups.BackupRefused, match=f"has tables of {OLDER} version, here they are"):
        backups.open_place(str(older))
