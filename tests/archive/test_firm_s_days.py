"""A day is the firm's: an evening on the coast is no other day because UTC has gone on."""

import json
from datetime import UTC, datetime

import pytest

from heaterapp import archive
from heaterapp.archive import Facts, KeptLonger
from heaterapp.archive.export_shapes import Wanted
from heaterapp.archive.sweeps import Sought

EVENING = datetime(2026, 3, 15, 4, 0, tzinfo=UTC)


@pytest.fixture
def at(folder):
    """The archive at a moment."""
    opened = []

    def one(moment):
        opened.append(archive.open_store(data_dir=folder, clock=lambda: moment, upgrade=False))
        return opened[-1]

    yield one
    for each in opened:
        each.close()


@pytest.fixture
def coast(firm, store):
    store.organisations.save_settings(firm.id, {"time_zone": "America/Los_Angeles"})
    return firm


@pytest.fixture
def issue(coast, at):
    def one(work_date=""):
        coast.store = at(EVENING)
        job = json.dumps({"work_date": work_date} if work_date else {}).encode()
        facts = Facts(address="12 Oak Ave", work_date=work_date)
        return coast.issued(job=job, facts=facts, job_id=coast.new_job().id).record

    return one


def test_a_day_asked_for_is_that_of_the_work_else_of_the_issue_by_the_firm_s_clock(coast, store, issue):
    undated, dated = issue(), issue("2026-03-10")
    for first, last, there in (
        ("2026-03-14", "2026-03-14", [undated]), ("2026-03-15", "2026-03-31", []),
        ("2026-03-10", "2026-03-10", [dated]), ("2026-03-01", "2026-03-13", [dated]),
        ("2026-03-01", "2026-03-14", [dated, undated]), ("2026-03-11", None, [undated]), (None, "2026-03-13", [dated]),
    ):  # fmt: skip
        found = store.find(coast.id, since=first, until=last)
        assert [hit.record for hit in found.hits] == there, (first, last)
        with store.exports.moment(coast.id, Wanted(first_day=first, last_day=last)) as moment:
            assert [one.hit.record for one in moment.records()] == there, (first, last)
        swept, _ = store.sweeps.find(coast.id, Sought(day_from=first or "", day_to=last or ""))
        assert [one.record for one in swept] == there, (first, last)


def test_it_is_kept_by_the_firm_s_day_of_issue_and_let_go_on_the_firm_s_day(coast, store, issue, at):
    record = issue()
    job = store.records.get(coast.id, record).job_id
    assert store.kept_until(coast.id, job) == "2036-03-14"
    with pytest.raises(KeptLonger, match="until 2036-03-14"):
        at(datetime(2036, 3, 14, 6, 59, tzinfo=UTC)).retire_job(coast.id, job, coast.office.id)
    at(datetime(2036, 3, 14, 7, 0, tzinfo=UTC)).retire_job(coast.id, job, coast.office.id)
    assert store.jobs.get(coast.id, job).state == "erased"
