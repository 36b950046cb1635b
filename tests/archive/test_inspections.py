"""Inspections: what they do to a permit, the second visit, what a month asks, two people at once."""

import pytest

from heaterapp.archive import Invalid
from heaterapp.archive.desk_shapes import DeskConflict, Item
from tests.archive.at_desk import OAK, TODAY, ago


def test_an_inspection_moves_the_end_of_a_permit_and_a_typed_end_stands_alone(store, firm, opened):
    job = opened(permit_issued_on=ago(170)).job
    visit = store.inspections.book(firm.id, firm.office.id, job.id, ago(10), {})
    assert store.desk.get(firm.id, job.id).permit_expires_on == ago(-10)
    store.inspections.tell(
        firm.id, firm.office.id, visit.id, 1, "partly", ago(10), {}, [Item("", "Strap", "", "")]
    )
    assert store.desk.get(firm.id, job.id).permit_expires_on == ago(-170)
    typed = store.desk.save(
        firm.id, firm.office.id, job.id, facts={"permit_expires_on": ago(-20)}, reason="As printed on it"
    )
    assert typed.permit_expires_on == ago(-20)
    assert typed.changes[0].reason == "As printed on it"


def test_a_cancelled_inspection_moves_nothing(store, firm, opened):
    job = opened(permit_issued_on=ago(170)).job
    visit = store.inspections.book(firm.id, firm.office.id, job.id, ago(10), {})
    store.inspections.tell(firm.id, firm.office.id, visit.id, 1, "cancelled", ago(10), {})
    held = store.desk.get(firm.id, job.id)
    assert (held.permit_expires_on, held.stage) == (ago(-10), "permit")


def test_a_final_pass_ends_the_watch_and_can_be_taken_back(store, firm, opened):
    job = opened(permit_issued_on=ago(170)).job
    visit = store.inspections.book(firm.id, firm.office.id, job.id, TODAY, {})
    passed = store.inspections.tell(firm.id, firm.office.id, visit.id, 1, "passed", TODAY, {"final": "yes"})
    held = store.desk.get(firm.id, job.id)
    assert (held.final_on, held.stage) == (TODAY, "final")
    assert store.desk.permits_to_expire(firm.id, TODAY, 400) == []
    again = store.inspections.take_back(firm.id, firm.office.id, visit.id, passed.revision, "The wrong job")
    assert (again.result, again.result_on) == ("booked", None)
    held = store.desk.get(firm.id, job.id)
    assert (held.final_on, held.stage) == (None, "booked")


def test_the_second_visit_is_a_revision_and_says_what_it_is_for(store, firm, failed):
    job, told = failed
    finish = {"render": lambda record: {"certificate.pdf": b"%PDF"}}
    first = store.issue_and_finish(firm.wish(job_id=job.id), **finish)
    reopened = store.inspections.second_visit(firm.id, firm.office.id, told.id)
    assert (reopened.state, reopened.answers) == ("draft", OAK)
    second = store.issue_and_finish(firm.wish(job_id=job.id), **finish)
    record = store.records.get(firm.id, second.record)
    assert (record.revision, record.supersedes) == (2, first.record)
    why = f"Second visit after the inspection of {ago(3)}. Still open: Pipe runs uphill; Address not posted"
    assert record.reason == why
    # The inspector's words stand in the job's row, which can be erased, and not in the log.
    assert "uphill" not in str([one.body for one in store.log.entries(firm.id)])


def test_a_failed_first_inspection_is_told_of_its_month_and_a_second_one_is_none(store, firm, failed):
    job, told = failed
    [(line, visit)] = store.desk.failed_first_inspections(firm.id, "2026-03-01", "2026-03-31")
    assert (line.address, visit.id) == ("12 N. Oak Ave, Port Larkin", told.id)
    assert store.desk.failed_first_inspections(firm.id, "2026-04-01", "2026-04-30") == []
    again = store.inspections.book(firm.id, firm.office.id, job.id, TODAY, {})
    store.inspections.tell(
        firm.id, firm.office.id, again.id, 1, "failed", TODAY, {}, [Item("", "Still uphill", "", "")]
    )
    assert [
        one.id for _, one in store.desk.failed_first_inspections(firm.id, "2026-03-01", "2026-03-31")
    ] == [told.id]


def test_issued_jobs_wait_for_their_inspection_until_the_final_one(store, firm, failed):
    job, _ = failed
    assert store.desk.waiting_for_inspection(firm.id) == []
    firm.store.issue_and_finish(firm.wish(job_id=job.id), lambda record: {"certificate.pdf": b"%PDF"})
    [line] = store.desk.waiting_for_inspection(firm.id)
    assert (line.job_id, line.stage) == (job.id, "failed")
    again = store.inspections.book(firm.id, firm.office.id, job.id, TODAY, {})
    assert store.desk.waiting_for_inspection(firm.id)[0].stage == "booked"
    store.inspections.tell(firm.id, firm.office.id, again.id, 1, "passed", TODAY, {"final": "yes"})
    assert store.desk.waiting_for_inspection(firm.id) == []


def test_two_results_at_once_the_second_is_refused(store, firm, failed):
    _, told = failed
    store.inspections.mend(firm.id, firm.office.id, told.id, told.revision, [Item("", "Posted", "", ago(1))])
    with pytest.raises(DeskConflict) as refused:
        store.inspections.mend(firm.id, firm.installer.id, told.id, told.revision, [])
    assert refused.value.clashes["inspection"].by == firm.office.id
    assert store.inspections.get(firm.id, told.id).items[0].text == "Posted"


def test_one_inspection_is_booked_at_a_time(store, firm, opened):
    job = opened().job
    store.inspections.book(firm.id, firm.office.id, job.id, TODAY, {})
    with pytest.raises(Invalid, match="one inspection at a time"):
        store.inspections.book(firm.id, firm.office.id, job.id, TODAY, {})


def test_the_first_inspection_is_the_first_by_its_day_whichever_was_typed_in_first(store, firm, opened):
    job = opened(permit_issued_on=ago(170)).job
    for day, result in ((ago(3), "passed"), (ago(40), "failed")):
        visit = store.inspections.book(firm.id, firm.office.id, job.id, day, {})
        items = [Item("", "Strap", "", "")] if result == "failed" else []
        store.inspections.tell(firm.id, firm.office.id, visit.id, 1, result, day, {}, items)
    assert [one.result for one in store.inspections.of_job(firm.id, job.id)] == ["passed", "failed"]
    assert store.desk.get(firm.id, job.id).stage == "permit"
    [(_, first)] = store.desk.failed_first_inspections(firm.id, ago(60), ago(0))
    assert first.result_on == ago(40)
    month = store.months.read(firm.id, ago(60), ago(0), ago(60), ago(0))
    assert (month.first_jobs, month.failed_jobs) == (1, 1)
    assert store.months.read(firm.id, ago(60), ago(0), ago(10), ago(0)).first_jobs == 0


def test_a_result_before_the_permit_or_long_before_its_visit_is_refused(store, firm, opened):
    job = opened(permit_issued_on=ago(100)).job
    visit = store.inspections.book(firm.id, firm.office.id, job.id, ago(5), {})
    for day, said in ((ago(101), "not before the permit was issued"), (ago(66), "at most 60 days before")):
        with pytest.raises(Invalid, match=said) as refused:
            store.inspections.tell(firm.id, firm.office.id, visit.id, 1, "passed", day, {})
        assert refused.value.field == "result_on"
    assert store.inspections.get(firm.id, visit.id).result == "booked"
    assert store.inspections.tell(firm.id, firm.office.id, visit.id, 1, "passed", ago(65), {}).result == "passed"
