"""A month in figures: at its borders, of this firm alone, and as things stand today."""

import json
from datetime import datetime

import pytest

from heaterapp.archive.desk_shapes import Item
from heaterapp.archive.months import ERASED

MARCH = ("2026-03-01T08:00:00Z", "2026-04-01T07:00:00Z", "2026-03-01", "2026-03-31")


@pytest.fixture
def clock(store, monkeypatch):
    """Set the archive's clock."""

    def at(stamp):
        monkeypatch.setattr(store.database, "clock", lambda: datetime.fromisoformat(stamp))

    return at


def parcel(began: str, signed: str) -> bytes:
    return json.dumps({"device": {"made_at": began, "signed_at": signed}}).encode()


def test_papers_count_from_the_first_moment_of_the_month_to_the_last(store, firm, other, clock):
    for stamp in (
        "2026-03-01T07:59:59Z",
        "2026-03-01T08:00:00Z",
        "2026-04-01T06:59:59Z",
        "2026-04-01T07:00:00Z",
    ):
        clock(stamp)
        firm.issued(job_id=firm.new_job().id)
    clock("2026-03-10T00:00:00Z")
    listed = firm.issued(job_id=firm.new_job().id, kind="correction_list")
    store.void(firm.id, listed.record, firm.office.id, "wrong house")
    erased = firm.issued(job_id=firm.new_job().id)
    store.erase(firm.id, erased.record, firm.office.id, "asked for")
    store.issue(firm.wish(job_id=firm.new_job().id))
    other.issued()
    found = store.months.read(firm.id, *MARCH)
    assert dict(found.issued) == {
        ("certificate", firm.installer.id): 2, ("correction_list", firm.installer.id): 1, ("certificate", ERASED): 1,
    }  # fmt: skip
    assert found.void == 1
    assert store.months.read(other.id, *MARCH).issued.total() == 1


def test_what_waits_is_told_by_person(store, firm, other):
    changed = firm.new_job(work_date="2026-03-01")
    firm.new_job(work_date="2999-03-01")
    store.jobs.create(firm.id, None, {"work_date": "2026-03-01"})
    issued = firm.new_job()
    firm.issued(job_id=issued.id)
    store.desk.save(firm.id, firm.office.id, issued.id, facts={"permit_issued_on": "2026-03-02"})
    store.desk.save(firm.id, firm.office.id, changed.id, facts={"permit_issued_on": "2026-03-02"})
    found = store.months.read(firm.id, *MARCH)
    # The one whose day has come and nobody's; the issued one and the one of a later day do not wait.
    assert dict(found.unsigned) == {firm.installer.id: 1, None: 1}
    assert dict(found.uninspected) == {firm.installer.id: 1}
    assert dict(store.months.read(other.id, *MARCH).uninspected) == {}


def test_a_job_that_is_open_again_waits_for_both(store, firm):
    first, second = firm.new_job(work_date="2026-03-01"), firm.new_job(work_date="2026-03-01")
    for job in (first, second):
        firm.issued(job_id=job.id)
        store.desk.save(firm.id, firm.office.id, job.id, facts={"permit_issued_on": "2026-03-02"})
    never = firm.new_job(work_date="2999-03-01")
    store.desk.save(firm.id, firm.office.id, never.id, facts={"permit_issued_on": "2026-03-02"})
    booked = firm.new_job(work_date="2999-03-01")
    store.inspections.book(firm.id, firm.office.id, booked.id, "2026-03-20", {})
    store.jobs.reopen(firm.id, first.id)
    found = store.months.read(firm.id, *MARCH, "2026-03-10")
    assert (found.unsigned.total(), found.uninspected.total()) == (1, 3)
    lines, _ = store.board.find(firm.id, on="2026-03-10", state="uninspected")
    assert {line.job_id for line in lines} == {first.id, second.id, booked.id}


def test_revisions_are_counted_apart(store, firm, clock):
    clock("2026-03-10T00:00:00Z")
    job = firm.new_job()
    firm.issued(job_id=job.id)
    for _ in range(2):
        store.jobs.reopen(firm.id, job.id)
        last = firm.issued(job_id=job.id)
    store.void(firm.id, last.record, firm.office.id, "wrong house")
    found = store.months.read(firm.id, *MARCH)
    assert dict(found.issued) == {("certificate", firm.installer.id): 1}
    assert dict(found.revised) == {("certificate", firm.installer.id): 2}
    assert found.void == 1


def test_first_inspections_are_counted_by_item_and_day(store, firm):
    def visited(day, result, *checks, job=None):
        job = job or firm.new_job()
        visit = store.inspections.book(firm.id, firm.office.id, job.id, day, {})
        items = [Item(check, "see it", "", "") for check in checks]
        store.inspections.tell(firm.id, firm.office.id, visit.id, visit.revision, result, day, {}, items)
        return job

    again = visited("2026-03-01", "failed", "relief.pipe_falls", "relief.pipe_falls", "")
    visited("2026-03-20", "failed", "relief.pipe_falls", job=again)
    visited("2026-03-31", "partly", "vent.rise")
    visited("2026-03-15", "passed")
    visited("2026-04-01", "failed", "vent.rise")
    visited("2026-02-28", "failed", "vent.rise")
    found = store.months.read(firm.id, *MARCH)
    assert dict(found.failed) == {"relief.pipe_falls": 1, "": 1, "vent.rise": 1}
    assert (found.failed_jobs, found.first_jobs) == (2, 3)


def test_permits_lapse_within_the_month_unless_the_final_was_passed(store, firm, other):
    def permit(day, whose=firm):
        job = whose.new_job(address_street=f"{day} St")
        store.desk.save(whose.id, whose.office.id, job.id, facts={"permit_expires_on": day})
        return job

    for day in ("2026-02-28", "2026-03-31", "2026-03-01", "2026-04-01"):
        permit(day)
    permit("2026-03-10", other)
    done = permit("2026-03-15")
    visit = store.inspections.book(firm.id, firm.office.id, done.id, "2026-03-05", {})
    store.inspections.tell(
        firm.id, firm.office.id, visit.id, visit.revision, "passed", "2026-03-05", {"final": "yes"}, []
    )
    found = store.months.read(firm.id, *MARCH)
    assert [line.permit_expires_on for line in found.lapsing] == ["2026-03-01", "2026-03-31"]
    assert found.lapsing_count == 2
    found = store.months.read(firm.id, *MARCH, "2026-03-02")
    assert [line.permit_expires_on for line in found.soon] == ["2026-03-31", "2026-04-01"]
    assert found.soon_count == 2
    assert store.months.read(firm.id, *MARCH, "2026-03-01").soon_count == 2


def test_minutes_are_averaged_where_a_phone_told_them(store, firm, clock):
    clock("2026-03-10T00:00:00Z")
    assert store.months.read(firm.id, *MARCH).minutes is None
    spans = [("09:00:00", "09:20:00"), ("09:00:00", "09:41:00"), ("09:00:00", "08:00:00")]
    bodies = [parcel(f"2026-03-10T{began}.000Z", f"2026-03-10T{signed}.000Z") for began, signed in spans]
    bodies += [parcel("2026-03-09T01:00:00Z", "2026-03-10T09:00:00Z"), b"{}", b"no json", parcel("x", "y")]
    for body in bodies:
        firm.issued(job_id=firm.new_job().id, parcel=body)
    found = store.months.read(firm.id, *MARCH)
    assert (found.minutes, found.minutes_of) == (30.5, 2)
