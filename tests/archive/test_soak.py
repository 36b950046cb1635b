"""A short soak; the long one is `python -m heaterapp.soak --issues 100000 --kills 1000 --papers 200`."""

import doctest
import re
import subprocess
import sys
from dataclasses import replace
from pathlib import Path
from types import SimpleNamespace

import pytest
from sqlalchemy import select

from heaterapp import archive
from heaterapp.archive import (
    by_days,
    canonical,
    indexes,
    search_times,
    soak,
    soak_account,
    tables,
    throttle,
    words,
)

ROOT = Path(__file__).parent.parent.parent


def _soaked(*program, kills):
    told = [sys.executable, *program, "--writers", "4", "--kills", str(kills), "--seconds", "100"]
    done = subprocess.run(told, capture_output=True, text=True, timeout=120, cwd=ROOT)
    assert done.returncode == 0, done.stdout + done.stderr
    assert f"{kills} hard kills" in done.stdout
    assert int(re.search(r"(\d+) acknowledged", done.stdout)[1]) > 20
    assert int(re.search(r"(\d+) voided", done.stdout)[1]) > 0
    assert "chain faults: 0" in done.stdout
    return done.stdout


@pytest.mark.soak
def test_writers_that_are_killed_leave_no_gap_no_duplicate_and_no_loss():
    said = _soaked("-m", "heaterapp.soak", "--issues", "150", "--papers", "2", kills=6)
    assert "2 real papers rendered beside and read back" in said


@pytest.mark.soak
def test_nor_do_they_on_postgresql_whose_server_crashes():
    said = _soaked("tests/archive/soak_postgres.py", "--issues", "80", "--restarts", "1", kills=3)
    assert "1 restarts of the database's server" in said


def test_a_key_is_the_same_submission_in_every_process():
    assert soak.submission(1, 2, "writer3-7") == soak.submission(1, 2, "writer3-7")
    assert soak.submission(1, 2, "writer3-7") != soak.submission(1, 2, "writer3-8")


def _archive_with(store, firm, keys):
    for key in keys:
        wish = soak.submission(firm.id, firm.installer.id, key)
        store.jobs.create(firm.id, firm.installer.id, None, wish.job_id)
        yield key, store.issue_and_finish(wish, soak.render).number


def test_the_account_notices_a_lost_and_a_changed_acknowledgement(store, firm):
    promised = dict(_archive_with(store, firm, ["writer0-0", "writer0-1"]))
    clean, lost = soak.Outcome(), soak.Outcome()
    soak_account.compare(store, firm.id, promised, clean)
    assert (clean.faults, clean.issued) == ([], 2)
    soak_account.compare(store, firm.id, {**promised, "writer0-2": "C-000009", "writer0-1": "C-000007"}, lost)
    assert len(lost.faults) == 2


def test_the_account_notices_a_lost_void(store, firm):
    issued = firm.issued()
    store.void(firm.id, issued.record, firm.office.id, "Issued in error.")
    clean, lost = soak.Outcome(), soak.Outcome()
    soak_account.compare_voids(store, firm.id, {"a key": issued.record}, clean)
    assert (clean.faults, clean.voided) == ([], 1)
    soak_account.compare_voids(store, firm.id, {"a key": issued.record + 1}, lost)
    assert lost.faults == ["a key: its void is lost"]


def test_the_account_notices_a_line_that_forks(store, firm):
    firm.issued()
    firm.issued()
    with store.database.read() as connection:
        first, second = connection.execute(select(tables.record)).mappings().all()
    clean, forked = soak.Outcome(), soak.Outcome()
    rows = [SimpleNamespace(**row) for row in (first, second)]
    soak_account.compare_lines(rows, clean)
    assert (clean.faults, clean.superseded) == ([], 1)
    soak_account.compare_lines([*rows, SimpleNamespace(**{**second, "id": 3})], forked)
    assert forked.faults == [
        f"record {first['id']} was replaced 2 times",
        f"job {(firm.job.id, 'certificate')} has 2 current",
    ]


def test_the_account_notices_a_gap(store, firm):
    with store.database.write() as connection:
        connection.exec_driver_sql("UPDATE counter SET last = 1")
    promised = dict(_archive_with(store, firm, ["writer0-0"]))
    outcome = soak.Outcome()
    soak_account.compare(store, firm.id, promised, outcome)
    assert len(outcome.faults) == 1
    assert "do not run 1 to 1" in outcome.faults[0]
    assert not store.verify().ok


def test_the_account_is_printed_with_its_faults():
    outcome = soak.Outcome(issued=10, acknowledged=9, kills=3, seconds=2.0, faults=["C-000001 twice"])
    lines = outcome.lines()
    assert lines[-2].endswith("1 FOUND")
    assert lines[-1] == "C-000001 twice"
    assert replace(outcome, faults=[]).lines()[-1].endswith(": 0")


def test_the_search_times_are_of_searches_that_find(tmp_path):
    store = archive.open_store(data_dir=tmp_path)
    firms = search_times.fill(store, 400)
    asked = search_times.questions()
    found = {name: any(store.find(firms[0], **ask()).hits for _ in range(200)) for name, ask in asked.items()}
    measured = search_times.measure(store, firms[0], runs=3)
    store.close()
    assert [name for name, any_found in found.items() if not any_found and name != "serial"] == ["nothing"]
    assert {times.name for times in measured} == set(asked)
    assert all(0 < times.p50_ms <= times.p95_ms for times in measured)


def test_a_small_piece_of_the_word_index_is_joined_once_it_is_worth_the_writing(tmp_path, monkeypatch):
    store = archive.open_store(data_dir=tmp_path)
    search_times.fill(store, 300)
    with store.database.write() as connection:
        connection.exec_driver_sql("INSERT INTO finding_words(rowid, words) VALUES (301, 'one more')")
    assert store.tidy_words() == 0
    monkeypatch.setattr(indexes, "SMALL_SHARE", 1000)
    assert store.tidy_words() > 0
    assert store.tidy_words() == 0
    store.close()


def test_a_made_up_archive_is_kept_and_nothing_else_taken_for_one(tmp_path):
    with pytest.raises(SystemExit):
        search_times.main(["--records", "1", "--folder", str(tmp_path), "--url", "sqlite://"])
    store = archive.open_store(data_dir=tmp_path)
    firms = search_times.filled(store, 60)
    assert search_times.filled(store, 60) == firms
    assert store.tidy_words() == 0
    with pytest.raises(ValueError, match="not 61 made-up records, but 60 of firm-0, firm-1"):
        search_times.filled(store, 61)
    store.organisations.add("harborlight", "Harborlight Plumbing")
    with pytest.raises(ValueError, match="harborlight"):
        search_times.filled(store, 60)
    store.close()


@pytest.mark.parametrize("module", [by_days, canonical, throttle, words])
def test_examples_in_the_docstrings(module):
    assert doctest.testmod(module).failed == 0
    assert doctest.testmod(module).attempted > 0
