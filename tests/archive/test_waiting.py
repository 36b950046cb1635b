"""What waits for a signature: one rule for desk and month, since when, and a job whose only paper is void."""

from datetime import datetime

import pytest
from sqlalchemy import update

from heaterapp.archive import Invalid, desk_line, office_tables
from tests.archive.at_desk import OAK, TODAY, ago, key

MARCH = ("2026-03-01T00:00:00Z", "2026-04-01T00:00:00Z", "2026-03-01", "2026-03-31", TODAY)


def waiting(store, firm):
    """The jobs under `void` and `unsigned`, and the count that month and desk must share."""
    todo = store.board.to_do(firm.id, TODAY)
    listed = {name: {line.job_id for line in todo[name].lines} for name in ("void", "unsigned")}
    found, _ = store.board.find(firm.id, on=TODAY, state="unsigned")
    assert {line.job_id for line in found} == listed["void"] | listed["unsigned"]
    assert todo["unsigned"].total == len(found) == store.months.read(firm.id, *MARCH).unsigned.total()
    return listed


def test_desk_and_month_count_the_same_jobs(store, firm, opened):
    opened(1, planned_on=ago(1))
    opened(2, installer=firm.installer.id, planned_on=ago(0))
    opened(3, installer=firm.installer.id, planned_on=ago(-1))
    opened(4)
    again = opened(5, installer=firm.installer.id, planned_on=ago(-9)).job
    firm.issued(job_id=again.id)
    listed = opened(6, installer=firm.installer.id).job
    firm.issued(job_id=listed.id, kind="correction_list")
    store.jobs.reopen(firm.id, again.id)
    assert waiting(store, firm) == {"void": set(), "unsigned": {key(1), key(2), key(5)}}


def test_a_job_whose_only_paper_is_void_waits_until_it_is_opened_again(store, firm, opened):
    job = opened(1, installer=firm.installer.id).job
    first = firm.issued(job_id=job.id)
    with pytest.raises(Invalid):
        store.waiting.open_again(firm.id, firm.office.id, job.id)
    store.void(firm.id, first.record, firm.office.id, "wrong heater")
    assert waiting(store, firm) == {"void": {job.id}, "unsigned": set()}
    assert store.waiting.only_void(firm.id, [job.id, firm.job.id]) == {job.id}
    for _ in range(2):
        assert store.waiting.open_again(firm.id, firm.office.id, job.id).state == "draft"
    assert [one.act for one in store.log.entries(firm.id)].count("correct_opened") == 1
    assert waiting(store, firm) == {"void": set(), "unsigned": {job.id}}
    second = firm.issued(job_id=job.id)
    assert store.records.get(firm.id, second.record).reason == f"{first.number} was declared void"
    assert waiting(store, firm) == {"void": set(), "unsigned": set()}
    assert store.verify().ok


def test_a_void_paper_with_another_in_its_place_waits_for_nothing(store, firm, opened):
    job = opened(1, installer=firm.installer.id).job
    first = firm.issued(job_id=job.id)
    store.void(firm.id, first.record, firm.office.id, "wrong heater")
    store.jobs.reopen(firm.id, job.id)
    firm.issued(job_id=job.id)
    assert waiting(store, firm) == {"void": set(), "unsigned": set()}


def test_a_job_waits_since_it_was_opened_again_not_since_its_work(store, firm, opened, failed, monkeypatch):
    job, told = failed
    store.issue_and_finish(firm.wish(job_id=job.id), lambda record: {"certificate.pdf": b"%PDF"})
    assert store.waiting.since(firm.id, [key(9)]) == {}
    issued = store.waiting.since(firm.id, [job.id])[job.id]
    monkeypatch.setattr(store.database, "clock", lambda: datetime.fromisoformat("2026-03-20T10:00:00Z"))
    store.inspections.second_visit(firm.id, firm.office.id, told.id)
    since = store.waiting.since(firm.id, [job.id])[job.id]
    assert (issued.at[:10], since.at) == (TODAY, "2026-03-20T10:00:00Z")
    assert since.reason.startswith("Second visit after the inspection")


def test_papers_are_told_with_the_entry_that_issued_them(store, firm):
    first = firm.issued()
    after = store.log.entries(firm.id)[-1].seq
    store.jobs.reopen(firm.id, firm.job.id)
    second = firm.issued()
    [(late, newest), (early, oldest)] = store.records.numbers_as_issued(firm.id, [firm.job.id])[firm.job.id]
    assert (newest, oldest) == (second.number, first.number)
    assert early <= after < late
    issues = [one.seq for one in store.log.entries(firm.id) if one.act == "issue"]
    assert [early, late] == sorted(issues)


def test_lines_of_an_older_version_are_told_of_a_permit_that_has_no_day(store, firm, opened):
    issued, applied = {"permit_status": "issued"}, {"permit_status": "applied"}
    opened(1, answers={**OAK, **issued})
    opened(2, answers={**OAK, **issued}, **applied)
    opened(3, answers=OAK, **issued)
    opened(4, answers={**OAK, **applied})
    with store.database.write() as connection:
        connection.execute(update(office_tables.desk_line).values(stage=""))
        desk_line.restage(connection)
    assert {line.job_id for line in store.board.to_do(firm.id, TODAY)["undated"].lines} == {key(1), key(3)}
