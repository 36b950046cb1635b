"""Every current certificate judged by today's rules: once, also across kills, and only what is current.

A test that asks for `folder` runs on SQLite alone: what it looks at is not the database's.
"""

import json
import os
import subprocess
import sys
from pathlib import Path

import pytest
from sqlalchemy import select

from heaterapp import rechecking, rules
from heaterapp.archive import NotFound, faults, open_store
from heaterapp.archive.office_tables import recheck_hit
from heaterapp.archive.rechecks import RecheckMoved, RecheckOpen
from heaterapp.crew import Died

PARTIAL = {"place": "us_ca_2022", "house_pressure_psi": "95", "prv_fitted": "no"}


def content(answers=PARTIAL, **turned):
    """A stored job and a report on it in which some checks said something else."""
    job = rules.Job(answers)
    report = rules.assess(job).as_json()
    for finding in report["findings"]:
        finding["verdict"] = turned.get(finding["check"].partition(".")[2], finding["verdict"])
    return {"job": rules.canonical_bytes(job.canonical()), "report": rules.canonical_bytes(report)}


SAME = content()
TURNED = content(pressure_within_limit="meets")
UNREAD = {**SAME, "job": b'{"place":"us_ca_2022","thermostat_f":"warm"}'}
CHANGE = "changed:supply.pressure_within_limit:meets:fails"


class Here:
    """Judges in this process, as the process of its own does."""

    alive = True

    def give(self, batch, digest):
        self.batch = batch

    def answer(self):
        return [(one.record, rechecking.judged_today(one)) for one in self.batch]

    def stop(self):
        pass


@pytest.fixture
def here(monkeypatch):
    monkeypatch.setattr(rechecking, "Bench", Here)


@pytest.fixture
def many(firm):
    """Five certificates of five jobs: the second and the last turned, the third not readable today."""
    special = {1: TURNED, 2: UNREAD, 4: TURNED}
    return [firm.issued(job_id=firm.new_job().id, **special.get(at, SAME)).record for at in range(5)]


def hits(store):
    with store.database.read() as connection:
        return [
            (row.record, row.change)
            for row in connection.execute(select(recheck_hit).order_by(recheck_hit.c.record))
        ]


def whole(store, firm, many, run):
    """Whether a run went through all five exactly once."""
    assert (run.total, run.looked, run.differing, run.failed) == (5, 5, 2, 1)
    assert hits(store) == [(many[1], CHANGE), (many[2], "refused:thermostat_f"), (many[4], CHANGE)]
    acts = [json.loads(one.body)["state"] for one in store.log.entries(firm.id) if one.act == "recheck"]
    assert acts == ["started", "finished"]
    assert store.verify().ok
    return True


def test_it_finds_what_today_is_judged_otherwise_and_why(store, firm, many, here):
    told = []
    run = rechecking.go_on(store, rechecking.begin(store, firm.id, firm.office.id), tell=told.append, batch=2)
    assert whole(store, firm, many, run)
    assert run.finished_at == "2026-03-14T12:00:00Z"
    assert [one.looked for one in told] == [2, 4, 5]
    assert store.rechecks.counts(firm.id, run.id) == {CHANGE: 2, "refused:thermostat_f": 1}
    (first, second) = store.rechecks.turned(firm.id, run.id, CHANGE)
    assert (first.record, second.record) == (many[1], many[4])
    assert first.what["now"] == "fails"
    assert "95" in first.what["why"]
    assert first.what["section"]
    assert [
        one.record for one in store.rechecks.turned(firm.id, run.id, limit=1, after=(many[1], CHANGE))
    ] == [many[2]]


def test_two_processes_say_the_same(store, firm, many, folder):
    run = rechecking.go_on(store, rechecking.begin(store, firm.id, firm.office.id), batch=2)
    assert whole(store, firm, many, run)


def test_only_what_is_current_whole_and_a_certificate_is_looked_at(store, firm, here):
    kept = firm.issued(job_id=firm.new_job().id, **TURNED).record
    old = firm.issued(**TURNED)
    firm.issued(**SAME)
    firm.issued(kind="findings_report", job_id=firm.new_job().id, **TURNED)
    for act in (store.void, store.erase):
        act(firm.id, firm.issued(job_id=firm.new_job().id, **TURNED).record, firm.office.id, "asked for")
    store.issue(firm.wish(job_id=firm.new_job().id, **TURNED))
    run = rechecking.begin(store, firm.id, firm.office.id)
    firm.issued(job_id=firm.new_job().id, **TURNED)
    run = rechecking.go_on(store, run)
    assert (run.total, run.looked, run.differing) == (2, 2, 1)
    assert [record for record, _ in hits(store)] == [kept]
    assert kept < old.record


def test_an_empty_archive_is_gone_through_at_once(store, firm, here):
    run = rechecking.go_on(store, rechecking.begin(store, firm.id, firm.office.id))
    assert (run.total, run.looked, bool(run.finished_at)) == (0, 0, True)


@pytest.mark.parametrize("point", faults.RECHECKING[:-1])
def test_a_fault_at_any_point_leaves_the_run_where_it_stood(
    store, firm, many, here, monkeypatch, point, folder
):
    """One batch is written before the fault comes, where it can."""
    seen = []

    def strike(at):
        seen.append(at)
        if at == point and (len(seen) > 8 or "batch" not in at + point):
            raise OSError(at)

    monkeypatch.setattr(faults, "hook", strike)
    with pytest.raises(OSError, match=point):
        rechecking.go_on(store, rechecking.begin(store, firm.id, firm.office.id), batch=2)
    monkeypatch.setattr(faults, "hook", lambda at: None)
    run = store.rechecks.unfinished(firm.id)
    assert (run is None) == (point in ("recheck_begun", "after_recheck_row", "after_recheck_log"))
    run = rechecking.go_on(store, run or rechecking.begin(store, firm.id, firm.office.id), batch=2)
    assert whole(store, firm, many, run)


KILLED = """
import os, signal, sys
sys.path[:0] = [sys.argv[2]]
from heaterapp import archive, rechecking
from heaterapp.archive import faults
from tests.archive.test_rechecks import Here
rechecking.Bench = Here
store = archive.open_store(data_dir=sys.argv[1], upgrade=False)
visits = []
def kill(at):
    visits.append(at)
    if visits.count(sys.argv[3]) == 2: os.kill(os.getpid(), signal.SIGKILL)
faults.hook = kill
rechecking.go_on(store, store.rechecks.unfinished(1) or store.rechecks.unfinished(2), batch=2)
"""


def test_a_hard_kill_in_the_middle_and_on_from_exactly_there(store, firm, many, here, folder):
    rechecking.begin(store, firm.id, firm.office.id)
    root = Path(__file__).parent.parent.parent
    program = [sys.executable, "-c", KILLED, str(folder), str(root), "after_recheck_hits"]
    done = subprocess.run(
        program, cwd=root, capture_output=True, check=False, env={"PATH": os.environ["PATH"]}
    )
    assert done.returncode == -9, done.stderr
    run = store.rechecks.unfinished(firm.id)
    assert run.looked == 2
    assert run.done_to == many[run.looked - 1]
    assert whole(store, firm, many, rechecking.go_on(store, run, batch=2))


def test_told_to_stop_it_stands_and_goes_on_later(store, firm, many, here, folder):
    asked = iter([False, False, False, True])
    run = rechecking.begin(store, firm.id, firm.office.id)
    run = rechecking.go_on(store, run, stop=lambda: next(asked, True), batch=2)
    assert (run.finished_at, run.looked) == (None, 4)
    assert whole(store, firm, many, rechecking.go_on(store, run))


def test_two_that_run_it_count_nothing_twice(store, firm, many, here):
    run = rechecking.begin(store, firm.id, firm.office.id)
    ahead = rechecking.go_on(store, run, stop=iter([False] * 3 + [True] * 9).__next__, batch=2)
    assert ahead.looked == 4
    with pytest.raises(RecheckMoved):
        rechecking.go_on(store, run, batch=2)
    assert whole(store, firm, many, rechecking.go_on(store, ahead))


def test_one_run_at_a_time_and_a_run_of_other_rules_is_left(store, firm, many, here):
    run = rechecking.begin(store, firm.id, firm.office.id)
    with pytest.raises(RecheckOpen) as refused:
        rechecking.begin(store, firm.id, firm.office.id)
    assert refused.value.run == run.id
    older = store.rechecks.start(firm.id, firm.office.id, "other rules", "0.0.1")
    assert store.rechecks.get(firm.id, run.id).finished_at
    with pytest.raises(rechecking.OtherRules):
        rechecking.go_on(store, older)
    newer = rechecking.begin(store, firm.id, firm.office.id)
    assert [one.id for one in store.rechecks.newest(firm.id)] == [newer.id, older.id, run.id]
    states = [json.loads(one.body)["state"] for one in store.log.entries(firm.id) if one.act == "recheck"]
    assert states == ["started", "left", "started", "left", "started"]


def test_another_organisation_sees_nothing_of_it(store, firm, other, many, here):
    run = rechecking.go_on(store, rechecking.begin(store, firm.id, firm.office.id))
    for look in (store.rechecks.get, store.rechecks.counts, store.rechecks.turned):
        with pytest.raises(NotFound):
            look(other.id, run.id)
    assert store.rechecks.newest(other.id) == []
    with pytest.raises(NotFound):
        rechecking.begin(store, other.id, firm.office.id)
    assert rechecking.go_on(store, rechecking.begin(store, other.id, other.office.id)).total == 0


def test_an_erasure_takes_what_was_said_along(store, firm, many, here):
    rechecking.go_on(store, rechecking.begin(store, firm.id, firm.office.id))
    store.erase(firm.id, many[1], firm.office.id, "asked for")
    assert [record for record, _ in hits(store)] == [many[2], many[4]]


def test_what_is_erased_while_it_is_judged_is_not_written(store, firm, many, here):
    run = rechecking.begin(store, firm.id, firm.office.id)
    store.erase(firm.id, many[1], firm.office.id, "asked for")
    store.rechecks.keep(run, many[1], 2, {many[1]: {CHANGE: {}}})
    assert hits(store) == []


def test_a_job_under_amendments_is_judged_under_them(store, firm, here):
    own = {"section": "7", "says": "Ours", "values": {"limit": "100", "unit": "psi"}}
    values = {name: "100" for name in rules.settable(rules.amendable("us_ca_2022")["supply.pressure_limit"])}
    own["values"] = values
    amended = {
        "name": "ours", "title": "Our water", "version": 1, "on": "2026-01-01", "base": "us_ca_2022",
        "clauses": {"supply.pressure_limit": own},
    }  # fmt: skip
    firm.issued(job_id=firm.new_job().id, **content({**PARTIAL, "amendments": amended}))
    run = rechecking.go_on(store, rechecking.begin(store, firm.id, firm.office.id))
    assert (run.looked, run.differing, run.failed) == (1, 0, 0)


def test_a_process_that_dies_over_a_job_costs_that_job_alone(store, firm, many, monkeypatch, folder):
    class Frail(Here):
        def give(self, batch, digest):
            super().give(batch, digest)
            self.deadly = any(one.record == many[3] for one in batch)

        def answer(self):
            if self.deadly:
                raise Died
            return super().answer()

    monkeypatch.setattr(rechecking, "Bench", Frail)
    run = rechecking.go_on(store, rechecking.begin(store, firm.id, firm.office.id), batch=4)
    assert (run.looked, run.differing, run.failed) == (5, 2, 2)
    assert (many[3], "broken:process") in hits(store)


def test_rules_that_break_and_a_report_that_is_none_are_named(monkeypatch):
    stored = rechecking.Stored(1, SAME["job"], b"[]")
    assert set(rechecking.judged_today(stored)) == {"broken:report"}
    monkeypatch.setattr(rules, "assess", lambda _: 1 / 0)
    assert set(rechecking.judged_today(stored)) == {"broken:ZeroDivisionError"}


def test_the_same_rows_on_another_opening(folder, store, firm, many, here):
    run = rechecking.begin(store, firm.id, firm.office.id)
    again = open_store(data_dir=folder, upgrade=False)
    assert again.rechecks.unfinished(firm.id) == run
    again.close()
