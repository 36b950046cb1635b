"""The drill passes on a whole backup and fails, naming it, on whatever differs."""

import json

import pytest
from sqlalchemy import text

from heaterapp import drilling, recomputing, rehearsal, rules
from heaterapp.archive import backups
from heaterapp.archive.backups import engines
from heaterapp.drilling import drill
from heaterapp.rehearsal import issue
from tests.archive.conftest import paper


def pressed(record):
    return paper(record)


pressed.release = lambda: "the press of today"


class HereAndNow:
    """Judges in this process: what a process of its own costs is paid in one test alone."""

    def __enter__(self):
        return self

    def __exit__(self, *_):
        pass

    def by(self, digest, ruleset_zip):
        assert ruleset_zip == rules.ruleset_zip()
        return self

    def judge(self, job):
        return rules.assess(json.loads(job)).to_bytes()


@pytest.fixture(autouse=True)
def quick_judges(request, monkeypatch):
    if "passes" not in request.node.name:
        monkeypatch.setattr(recomputing, "Judges", HereAndNow)


@pytest.fixture
def backup(store, firm, tmp_path):
    for at in range(3):
        issue(store, firm.installer, at, pressed)
    return store.backups.make(tmp_path / "backups").path


@pytest.fixture
def tried(backup, tmp_path):
    """Run the drill and return whether it passed and what it said."""
    (tmp_path / "try").mkdir()

    def run(render=pressed, **more):
        said = []
        good = drill(backup, render=render, place=tmp_path / "try", say=said.append, **more)
        assert list((tmp_path / "try").iterdir()) == []
        return good, "\n".join(said)

    return run


def test_a_whole_backup_passes_with_a_line_a_step(tried):
    good, said = tried(seed=7)
    assert good
    assert [line.split()[0] for line in said.splitlines()] == [
        "Files", "Restored", "Compared", "Verified", "Later", "Remade", "Drill",
    ]  # fmt: skip
    assert "row for row with the backup, differences: 0." in said
    assert "3 records (draw 7): 3 reports byte for byte, 6 papers byte for byte, 0 otherwise." in said
    assert "Drill passed in" in said


def test_a_damaged_file_fails_and_is_named(tried, backup):
    whole = (backup / "archive.sqlite3").read_bytes()
    (backup / "archive.sqlite3").write_bytes(whole[:5000] + bytes([whole[5000] ^ 4]) + whole[5001:])
    good, said = tried()
    assert not good
    assert f"{backup / 'archive.sqlite3'} is damaged" in said
    assert "Drill FAILED in" in said


def test_a_row_that_came_out_otherwise_fails_and_is_named(tried, monkeypatch):
    usual = backups.restore

    def careless(backup, place, **more):
        said = usual(backup, place, **more)
        restored = engines.opened(f"sqlite:///{place / 'archive.sqlite3'}")
        with restored.write() as connection:
            connection.execute(text("UPDATE person SET name = 'Somebody else' WHERE login = 'olu'"))
        restored.close()
        return said

    monkeypatch.setattr(backups, "restore", careless)
    good, said = tried()
    assert not good
    assert "differences: 1." in said
    assert "person id 2 name: differs" in said


def test_papers_that_come_out_otherwise_fail(tried):
    def other(record):
        return {**paper(record), "certificate.pdf": b"%PDF otherwise"}

    other.release = pressed.release
    good, said = tried(other)
    assert not good
    assert "3 papers byte for byte, 3 otherwise." in said
    assert "C-000001 certificate.pdf: differs" in said
    other.release = lambda: "another press"
    good, said = tried(other)
    assert good
    assert "3 papers of another renderer, unharmed" in said


def test_so_many_are_drawn_as_are_asked_for(tried):
    for count in (0, 2):
        good, said = tried(None, recompute=count, seed=3)
        assert good
        assert f"{count} records (draw 3): {count} reports byte for byte, 0 otherwise." in said


def test_each_record_is_as_likely_as_any_other(store, monkeypatch):
    monkeypatch.setattr(drilling, "_finished", lambda store, among: iter([(1, at) for at in range(10)]))
    seen = [0] * 10
    for seed in range(2000):
        for _, at in drilling._drawn(store, 3, drilling.random.Random(seed), None):
            seen[at] += 1
    assert all(500 < count < 700 for count in seen)


def test_a_place_that_is_not_there_is_named(backup, tmp_path):
    said = []
    assert not drill(backup, place=tmp_path / "nowhere", say=said.append)
    assert f"{tmp_path / 'nowhere'}: No such file or directory." in said[0]


def test_the_rehearsal_goes_through_it_all(tmp_path, monkeypatch, capsys):
    def beside(store, folder, writers, url):
        issue(store, rehearsal._person(store), 900, rehearsal.plain_paper)
        return store.backups.make(folder / "backups"), 1, 2, 0.1

    monkeypatch.setattr("heaterapp.certificate.render_files", pressed)
    monkeypatch.setattr(rehearsal, "_backed_up_while_writing", beside)
    assert rehearsal.rehearse(tmp_path, 4, 2, 1, None)
    said = capsys.readouterr().out
    assert "Filled" in said
    assert "2 records (draw" in said
    assert "2 reports byte for byte, 4 papers byte for byte, 0 otherwise." in said
    assert ": right; both archives verify: yes." in said
