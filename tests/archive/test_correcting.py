"""A slip gives the next revision at once; a measured value opens the job again; the line never forks."""

import json
import sqlite3

import pytest
from sqlalchemy import event

from heaterapp.archive import (
    AnswerConflict,
    Correction,
    Invalid,
    KeyConflict,
    NotCurrent,
    NotFound,
    PapersWait,
    SupersedeConflict,
)

ANSWERS = {"owner_name": "Mina Pak", "house_pressure_psi": "60"}


@pytest.fixture
def first(store, firm):
    store.jobs.save_answers(firm.id, firm.job.id, ANSWERS)
    return firm.issued(job=json.dumps(ANSWERS).encode())


def slip(firm, first, **changes):
    usual = {
        "person": firm.office.id, "supersedes": first.record, "reason": "misspelt",
        "job": b'{"owner_name":"Mina Park"}', "ruleset_zip": None,
        "correction": Correction(first.record, {"owner_name": "Mina Park"}, {"owner_name": "Mina Pak"}),
    }  # fmt: skip
    return firm.wish(**{**usual, **changes})


def open_again(store, firm, record, **changes):
    usual = {
        "person": firm.office.id, "changes": {"house_pressure_psi": "80"}, "before": {"house_pressure_psi": "60"},
        "reason": "read off the wrong gauge", "key": "open-key-1", "installer": firm.installer.id,
    }  # fmt: skip
    return store.corrections.open_again(firm.id, record, **{**usual, **changes})


def test_a_slip_is_the_next_revision_and_the_job_stays_issued(store, firm, papers, first):
    second = store.issue_and_finish(slip(firm, first), papers)
    record = store.records.get(firm.id, second.record)
    assert (record.revision, record.supersedes_number, record.reason) == (2, first.number, "misspelt")
    assert record.issued_by["name"] == firm.office.name
    assert record.signature == store.records.get(firm.id, first.record).signature
    job = store.jobs.get(firm.id, firm.job.id)
    assert (job.state, job.answers["owner_name"]) == ("issued", "Mina Park")
    states = {hit.number: hit.state for hit in store.records.of_job(firm.id, firm.job.id)}
    assert states == {first.number: "replaced", second.number: "current"}
    assert store.find(firm.id, person=firm.installer.id).hits[0].record == second.record
    acts = [(one.act, one.record, one.actor) for one in store.log.newest(firm.id, limit=3)]
    assert ("correct", first.record, firm.office.id) in acts
    assert store.verify().ok


def test_an_open_second_visit_stays_open_and_keeps_what_it_says(store, firm, papers, first):
    store.jobs.reopen(firm.id, firm.job.id)
    store.jobs.save_answers(firm.id, firm.job.id, {"owner_name": "Somebody Else"})
    store.issue_and_finish(slip(firm, first), papers)
    job = store.jobs.get(firm.id, firm.job.id)
    assert (job.state, job.answers["owner_name"]) == ("draft", "Somebody Else")


def test_the_same_wish_again_gets_the_first_answer(store, firm, papers, first):
    wish = slip(firm, first)
    second = store.issue_and_finish(wish, papers)
    again = store.issue_and_finish(wish, papers)
    assert (again.number, again.repeated) == (second.number, True)
    with pytest.raises(KeyConflict):
        store.issue(slip(firm, first, key=wish.key, job=b'{"owner_name":"Another"}'))
    assert len(store.records.of_job(firm.id, firm.job.id)) == 2


def test_only_the_current_one_is_corrected(store, firm, papers, first):
    second = store.issue_and_finish(slip(firm, first), papers)
    head = store.log.head(firm.id)
    says = "C-000001 was replaced: the current one is C-000002."
    with pytest.raises(NotCurrent, match=says):
        store.issue(slip(firm, first))
    with pytest.raises(NotCurrent, match=says):
        open_again(store, firm, first.record)
    assert store.log.head(firm.id) == head
    store.void(firm.id, second.record, firm.office.id, "wrong heater")
    says = "C-000002 is void, and none stands in its place yet."
    for act in (lambda: store.issue(slip(firm, second)), lambda: open_again(store, firm, second.record)):
        with pytest.raises(NotCurrent, match=says):
            act()
    assert store.verify().ok


def test_a_paper_overtaken_by_a_list_names_the_list(store, firm, first):
    listed = firm.issued(kind="correction_list")
    with pytest.raises(NotCurrent, match=f"current one is {listed.number}"):
        store.issue(slip(firm, first))


def test_of_eight_corrections_at_once_one_is_made(store, firm, first, at_once):
    answers, errors = at_once(8, lambda n: store.issue(slip(firm, first, key=f"at-once-{n}")))
    assert len(answers) == 1
    assert {type(error) for error in errors} == {PapersWait}
    assert {error.number for error in errors} == {answers[0].number}
    assert store.verify().ok


def test_a_slip_and_a_reopening_at_once_leave_one_line(store, firm, first, at_once):
    acts = (lambda: store.issue(slip(firm, first)), lambda: open_again(store, firm, first.record))
    _, errors = at_once(2, lambda n: acts[n]())
    assert {type(error) for error in errors} <= {NotCurrent}
    revisions = [hit.revision for hit in store.records.of_job(firm.id, firm.job.id)]
    assert revisions == sorted(set(revisions), reverse=True)
    assert store.verify().ok


def test_a_measured_value_opens_the_job_for_the_signer(store, firm, first):
    store.jobs.assign(firm.id, firm.job.id, None)
    job = open_again(store, firm, first.record)
    assert (job.state, job.installer, job.signature) == ("draft", firm.installer.id, None)
    assert job.answers == {**ANSWERS, "house_pressure_psi": "80"}
    opened = store.corrections.opened(firm.id, firm.job.id)
    assert (opened.reason, opened.person) == ("read off the wrong gauge", firm.office.id)
    assert store.records.status(firm.id, first.record).state == "current"
    head = store.log.head(firm.id)
    assert open_again(store, firm, first.record).revision == job.revision
    assert store.log.head(firm.id) == head


def test_the_reason_goes_into_the_paper_that_comes_of_it(store, firm, papers, first):
    open_again(store, firm, first.record)
    wish = firm.wish()
    second = store.issue_and_finish(wish, papers)
    assert store.records.get(firm.id, second.record).reason == "read off the wrong gauge"
    assert store.corrections.opened(firm.id, firm.job.id) is None
    third = firm.issued()
    assert store.records.get(firm.id, third.record).reason == ""


def test_the_reason_outlives_a_slip_corrected_meanwhile(store, firm, papers, first):
    open_again(store, firm, first.record)
    store.issue_and_finish(slip(firm, first), papers)
    assert store.corrections.opened(firm.id, firm.job.id).reason == "read off the wrong gauge"


def test_what_a_draft_says_otherwise_is_not_written_over(store, firm, first):
    store.jobs.reopen(firm.id, firm.job.id)
    store.jobs.save_answers(firm.id, firm.job.id, {"house_pressure_psi": "72"})
    before = store.jobs.get(firm.id, firm.job.id), store.log.head(firm.id)
    with pytest.raises(AnswerConflict):
        open_again(store, firm, first.record)
    assert (store.jobs.get(firm.id, firm.job.id), store.log.head(firm.id)) == before


def test_refusals_change_nothing(store, firm, other, first):
    before = store.jobs.get(firm.id, firm.job.id), store.log.head(firm.id)
    with pytest.raises(NotFound):
        open_again(store, other, first.record)
    with pytest.raises(NotFound):
        open_again(store, firm, first.record, person=other.office.id)
    with pytest.raises(NotFound):
        open_again(store, firm, first.record, installer=other.installer.id)
    with pytest.raises(NotFound):
        store.issue(slip(firm, first, person=other.office.id))
    for wrong in ({"reason": " "}, {"reason": "x" * 301}, {"changes": {}}, {"key": "x"}):
        with pytest.raises(Invalid):
            open_again(store, firm, first.record, **wrong)
    with pytest.raises(Invalid):
        store.issue(slip(firm, first, reason=""))
    for wrong in ({"supersedes": None}, {"job_id": firm.new_job().id}, {"kind": "findings_report"}):
        with pytest.raises(SupersedeConflict):
            store.issue(slip(firm, first, **wrong))
    assert (store.jobs.get(firm.id, firm.job.id), store.log.head(firm.id)) == before


def test_what_a_record_asks_of_the_log_never_walks_it_whole(store, firm, first, folder):
    second, asked = firm.issued(), []
    event.listen(store.database.engine, "before_cursor_execute", lambda *more: asked.append(more[2:4]))
    store.corrections.opened(firm.id, firm.job.id)
    store.log.newest(firm.id, records=[first.record, second.record])
    open_again(store, firm, second.record)
    with sqlite3.connect(folder / "archive.sqlite3") as raw:
        plans = [
            row[3] for said, given in asked if "FROM log \n" in said
            for row in raw.execute(f"EXPLAIN QUERY PLAN {said}", given)
        ]  # fmt: skip
    raw.close()
    walks = [plan for plan in plans if "log USING" in plan]
    assert len(walks) > 2
    assert [plan for plan in walks if "record=?" not in plan] == []
