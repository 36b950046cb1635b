"""The short form of `fail_at.py`: each named moment struck once, and some of the statements of every act."""

import json
import subprocess
import sys
from collections import Counter
from pathlib import Path

import pytest
from sqlalchemy import insert

from heaterapp.archive import faults, log, office_tables
from tests.archive import acts, fail_at

HERE = Path(__file__).parent
ROOT = HERE.parent.parent


@pytest.mark.soak
def test_no_act_is_half_done_wherever_it_is_broken_off():
    program = [sys.executable, str(HERE / "fail_at.py"), "--every", "60"]
    done = subprocess.run(program, capture_output=True, text=True, timeout=200, cwd=ROOT)
    assert done.returncode == 0, done.stdout + done.stderr
    account = json.loads(done.stdout.splitlines()[-1])
    assert account["points"] == len(fail_at.declared())
    assert account["acts"] == len(acts.ACTS)
    assert account["raise came"] == account["raise"] > 5
    assert account["kill came"] == account["kill"] > 5
    assert account["once came"] > 3
    assert account["for good came"] > 3
    assert account["full"] > 5


def _torn(place):
    """A void in two transactions: what a careless hand would write."""
    database, told = place.store.database, {"voided_at": "2026-03-14T12:00:00Z", "voided_by": place.owner}
    with database.write() as connection:
        own = {"organisation": place.firm, "record": place.first, "entry": log.lock(connection, place.firm).seq + 1}
        connection.execute(insert(office_tables.void).values(**own, **told))
    faults.at("between")
    with database.write() as connection:
        log.append(connection, place.firm, "void", told["voided_at"], place.owner, place.first, told, {"reason": "x"})


@pytest.fixture
def torn(tmp_path):
    acts.prepare(tmp_path / "template")
    act = acts.Act("torn", _torn)
    return act, fail_at.Unbroken(act, tmp_path / "template", tmp_path / "unbroken"), tmp_path / "template"


def test_an_act_in_two_transactions_is_noticed(torn, tmp_path):
    account = Counter()
    wrong = fail_at.tried(*torn, tmp_path / "struck", "raise", "between", account)
    assert "verify: void record 1 record: is not in the log" in wrong
    assert account["raise came"] == 1


def test_a_state_between_is_noticed_as_half_done(torn, tmp_path):
    act, unbroken, template = torn
    unbroken.states = [unbroken.states[0], unbroken.states[-1]]
    assert "half-done" in fail_at.tried(act, unbroken, template, tmp_path / "struck", "raise", "between", Counter())


def test_a_point_that_is_not_declared_or_not_visited_is_noticed(tmp_path, monkeypatch):
    monkeypatch.setattr(acts, "ACTS", [acts.Act("torn", lambda place: faults.at("between"))])
    monkeypatch.setattr(faults, "POINTS", ("never",))
    said = []
    fail_at.run(tmp_path, 1, said.append)
    told = {line["point"]: line["wrong"] for line in map(json.loads, said) if "point" in line}
    assert told["between"] == "visited and not declared"
    assert told["never"] == "declared and never visited"
