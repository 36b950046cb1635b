"""After an error, a hard kill or a full disk at any moment, nothing is half-done."""

import json
import re
import subprocess
import sys
from pathlib import Path

import pytest
from sqlalchemy import event, text
from sqlalchemy.exc import OperationalError

from heaterapp import archive
from heaterapp.archive import faults
from heaterapp.archive.backups import steps

BEFORE_COMMIT = set(faults.POINTS[: faults.POINTS.index("issue_committed")])
HERE = Path(__file__).parent
ROOT = HERE.parent.parent


@pytest.fixture(scope="module")
def visits(tmp_path_factory):
    program = [sys.executable, str(HERE / "fault_points.py"), str(tmp_path_factory.mktemp("faults"))]
    done = subprocess.run(
        program, capture_output=True, text=True, timeout=80, cwd=ROOT, env={"PYTHONPATH": "."}
    )
    assert done.returncode == 0, done.stderr
    return {(seen["how"], seen["point"]): seen for seen in map(json.loads, done.stdout.splitlines())}


@pytest.mark.parametrize("how", ["raise", "kill"])
@pytest.mark.parametrize("point", faults.POINTS)
def test_a_strike_at_each_point_leaves_nothing_half_done(visits, how, point):
    seen = visits[how, point]
    assert seen["struck"]
    assert seen["faults"] == seen["faults_after"] == []
    assert seen["committed"] == (point not in BEFORE_COMMIT)
    assert seen["finished"] == (point == "finish_committed")
    assert seen["finished_at_start"] == (seen["committed"] and not seen["finished"])
    assert seen["repeated"] == seen["committed"]
    assert seen["same_number"]
    assert seen["first_is_kept"]
    assert seen["records"] == 2
    assert all(int(number[2:]) <= 2 for number in seen["numbers"])
    assert seen["paper"]


def test_every_point_named_is_reached_and_every_point_reached_is_named():
    package = ROOT / "heaterapp" / "archive"
    reached = [
        point
        for path in package.rglob("*.py")
        for point in re.findall(r'faults\.at\("(\w+)"\)', path.read_text())
    ]
    every = {**vars(faults), **vars(steps)}
    named = [point for held in every.values() if isinstance(held, tuple) for point in held]
    assert sorted(set(reached)) == sorted(named)


def test_the_hook_does_nothing_in_ordinary_running():
    assert faults.hook("issue_begun") is None


def test_a_disk_that_fills_at_each_page_leaves_nothing_half_done(folder, store, firm, papers):
    """Allow one page more each time until the issue goes through; after each refusal all is as before."""
    wish = firm.wish(report=b"x" * 20_000)
    with store.database.engine.connect() as connection:
        connection.exec_driver_sql("PRAGMA wal_checkpoint(TRUNCATE)").all()
        pages = connection.exec_driver_sql("PRAGMA page_count").scalar()
    refused, answer, why = 0, None, set()
    while answer is None:
        assert refused < 200
        tight = archive.open_store(data_dir=folder, upgrade=False)
        event.listen(tight.database.engine, "connect", _limit(pages + refused))
        try:
            answer = tight.issue_and_finish(wish, papers)
        except OperationalError as refusal:
            why.add(str(refusal.orig))
            refused += 1
        tight.close()
        assert store.verify().faults == ()
    assert refused > 5
    assert why == {"database or disk is full"}
    assert answer.number == "C-000001"
    assert store.records.file(firm.id, answer.record, "certificate.pdf")
    with store.database.read() as connection:
        assert connection.execute(text("SELECT count(*) FROM record")).scalar() == 1


def _limit(pages):
    def limit(connection, _entry):
        connection.execute(f"PRAGMA max_page_count={pages}").close()

    return limit
