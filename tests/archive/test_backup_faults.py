"""After an error, a hard kill or a full disk at any step there is a whole backup or none, and a whole archive or none."""

import json
import re
import resource
import subprocess
import sys
from pathlib import Path

import pytest

from heaterapp import archive
from heaterapp.archive import backups, dialect
from heaterapp.archive.backups import engines, steps

HERE = Path(__file__).parent
ROOT = HERE.parent.parent
HOW = ("raise", "kill")


@pytest.fixture(scope="module")
def visits(tmp_path_factory, postgres_server):
    urls = [postgres_server.fresh() for _ in HOW]
    program = [sys.executable, str(HERE / "backup_points.py"), str(tmp_path_factory.mktemp("points")), *urls]
    try:
        done = subprocess.run(
            program, capture_output=True, text=True, timeout=200, cwd=ROOT, env={"PYTHONPATH": "."}
        )
    finally:
        for url in urls:
            postgres_server.drop(url)
    assert done.returncode == 0, done.stderr
    seen = map(json.loads, done.stdout.splitlines())
    return {(one["what"], one["point"], one["how"]): one for one in seen}


@pytest.mark.parametrize("how", HOW)
@pytest.mark.parametrize("point", steps.MAKING)
def test_a_backup_struck_at_each_step_is_whole_or_not_there(visits, point, how):
    seen = visits["make", point, how]
    assert seen["struck"]
    assert seen["differs"] == []
    new = f"heaterapp-20260314T1200{steps.MAKING.index(point):02}Z"
    is_there = steps.MAKING.index(point) >= steps.MAKING.index("backup_named")
    assert (new in seen["names"]) == is_there
    assert len(seen["names"]) == {"backup_named": 2, "backup_later_noted": 3, "backup_thinning": 4}.get(point, 1)
    # What a kill leaves is hidden, and gone with the next backup.
    assert seen["hidden"] == ([".part"] if how == "kill" and not is_there else [])


@pytest.mark.parametrize("how", HOW)
@pytest.mark.parametrize("point", steps.RESTORING)
@pytest.mark.parametrize("what", ["restore", "restore to a server"])
def test_a_restore_struck_at_each_step_is_whole_or_can_be_run_again(visits, what, point, how):
    seen = visits[what, point, how]
    assert seen["struck"]
    assert seen["there"] == (point == "restore_placed")
    assert seen["differs"] == []
    assert set(seen["inside"]) <= {"archive.sqlite3", "secret-key"}
    # What a kill leaves is hidden, and gone with the next try.
    assert seen["hidden"] <= (how == "kill")


@pytest.mark.parametrize("how", HOW)
def test_the_source_verifies_after_all_strikes(visits, how):
    assert visits["source", "", how]["faults"] == []


def test_every_step_named_is_reached_and_every_step_reached_is_named():
    found = [
        point
        for path in (ROOT / "heaterapp" / "archive" / "backups").glob("*.py")
        for point in re.findall(r'faults\.at\("(\w+)"\)', path.read_text())
    ]
    assert set(found) == set(steps.MAKING + steps.RESTORING)


def test_a_disk_that_fills_in_the_middle_of_the_pages_leaves_nothing(store, firm, tmp_path, monkeypatch):
    firm.issued(report=b"x" * 50_000)
    usual, most, said = engines.open_target, [1], []

    def tight(file):
        target = usual(file)
        target.execute(f"PRAGMA max_page_count={most[0]}").close()
        return target

    monkeypatch.setattr(engines, "open_target", tight)
    monkeypatch.setattr(engines, "PAGES_A_STEP", 7)
    refused = 0
    while True:
        assert refused < 200
        try:
            made = store.backups.make(tmp_path / "backups")
            break
        except backups.BackupRefused as full:
            said.append(str(full))
            assert list((tmp_path / "backups").iterdir()) == []
            refused, most[0] = refused + 1, most[0] + 20
    assert refused > 5
    assert all(f"The disk of {tmp_path / 'backups'} is full: no backup was made" in one for one in said)
    assert store.verify().ok
    assert backups.check(made.path)


def test_a_disk_that_fills_in_the_middle_of_the_rows_leaves_nothing(postgres_url, tmp_path, monkeypatch):
    store = archive.open_store(url=postgres_url)
    store.organisations.default()
    made = store.backups.make(tmp_path / "whole")
    with monkeypatch.context() as patched:
        patched.setattr(dialect, "PRAGMAS", (*dialect.PRAGMAS, "PRAGMA max_page_count=20"))
        with pytest.raises(backups.BackupRefused, match=r"is full: no backup was made"):
            store.backups.make(tmp_path / "backups")
    assert list((tmp_path / "backups").iterdir()) == []
    assert store.verify().ok
    store.close()
    assert made.path.is_dir()


def test_a_disk_that_fills_in_the_middle_of_a_restore_leaves_nothing(store, firm, tmp_path):
    firm.issued(report=b"x" * 50_000)
    made = store.backups.make(tmp_path / "backups")
    usual = resource.getrlimit(resource.RLIMIT_FSIZE)
    resource.setrlimit(resource.RLIMIT_FSIZE, (100_000, usual[1]))
    try:
        with pytest.raises(backups.BackupRefused, match=r"again is full: nothing was restored"):
            backups.restore(made.path, tmp_path / "again")
    finally:
        resource.setrlimit(resource.RLIMIT_FSIZE, usual)
    assert list((tmp_path / "again").iterdir()) == []
    backups.restore(made.path, tmp_path / "again")
