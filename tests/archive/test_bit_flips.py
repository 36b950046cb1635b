"""The short form of `bit_flips.py`: every flipped bit of what is vouched for is found and named."""

import shutil

import pytest

from heaterapp.archive import audit_arrivals, tables
from tests.archive import bit_flips, full_archive

PAPERS = {"certificate.pdf": b"%PDF-1.7 " + bytes(range(256)) * 40}


@pytest.fixture(scope="module")
def filled(tmp_path_factory):
    folder = tmp_path_factory.mktemp("filled")
    full_archive.fill(folder, 110, papers=PAPERS)
    return folder


@pytest.fixture
def folder(filled, tmp_path):
    shutil.copytree(filled, tmp_path / "own")
    return tmp_path / "own"


def test_every_flip_in_a_row_is_found_and_named(folder):
    ways, missed = bit_flips.rounds(folder, 3, 80, seed=7)
    assert missed == []
    assert ways["field"] + ways["row"] == 240
    assert len({way for way in ways if way and "." in way}) > 60


def test_a_column_that_nothing_holds_is_noticed(folder, monkeypatch):
    monkeypatch.setattr(audit_arrivals.Arrived, "check", lambda *_: None)
    monkeypatch.setattr(bit_flips, "VOUCHED", ["arrival"])
    _, missed = bit_flips.rounds(folder, 1, 3, seed=3)
    assert {flip.table for flip in missed} == {"arrival"}


def test_every_table_is_vouched_for_or_known_to_change(folder):
    """A new table belongs in WORKING or must have rows here, so that its columns are tried."""
    assert bit_flips.WORKING <= set(tables.metadata.tables)
    told = bit_flips._told(folder / "archive.sqlite3")
    assert [name for name in bit_flips.VOUCHED if not told[name]] == []


def test_flips_in_the_raw_file_are_found_or_change_no_vouched_row(folder):
    seen = bit_flips.file_flips(folder, 25, seed=4)
    assert sum(seen.values()) == 25
    assert [what for what in seen if "MISSED" in what] == []
    assert sum(count for what, count in seen.items() if what.startswith("found")) > 5
