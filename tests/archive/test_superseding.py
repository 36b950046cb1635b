"""Which paper of a job stands, and what took the place of which."""

from itertools import pairwise

import pytest
from sqlalchemy import text
from sqlalchemy.exc import IntegrityError

from heaterapp.archive import (
    SupersedeConflict,
    tables,
)


def test_a_second_issue_supersedes_the_first(store, firm):
    first, second = firm.issued(), firm.issued(reason="serial read again")
    assert (first.revision, second.revision) == (1, 2)
    record = store.records.get(firm.id, second.record)
    assert (record.supersedes, record.supersedes_number, record.reason) == (
        first.record,
        "C-000001",
        "serial read again",
    )
    status = store.records.status(firm.id, first.record)
    assert (status.current, status.superseded_by, status.superseded_by_number) == (
        False,
        second.record,
        "C-000002",
    )
    assert store.records.status(firm.id, second.record).current
    assert store.records.current(firm.id, firm.job.id, "certificate").number == "C-000002"
    assert [hit.number for hit in store.records.of_job(firm.id, firm.job.id)] == ["C-000002", "C-000001"]


def test_a_correction_list_ends_with_the_certificate_that_follows_and_is_no_revision_of_it(store, firm):
    listed = firm.issued(kind="correction_list", signature=None)
    assert store.records.status(firm.id, listed.record).current
    certified = firm.issued()
    assert certified.revision == 1
    assert store.records.status(firm.id, listed.record).superseded_by_number == certified.number
    assert store.records.status(firm.id, certified.record).current
    assert store.records.current(firm.id, firm.job.id, "findings_report") is None


def test_a_certificate_is_not_current_once_a_later_list_says_that_something_fails(store, firm):
    certified = firm.issued()
    listed = firm.issued(kind="correction_list", signature=None, reason="reopened")
    status = store.records.status(firm.id, certified.record)
    assert (status.current, status.superseded_by, status.superseded_by_number) == (
        False,
        listed.record,
        listed.number,
    )
    assert store.records.current(firm.id, firm.job.id, "certificate") is None
    public = store.records.check(certified.number, certified.check_code)
    assert (public.state, public.replaced_by) == ("replaced", listed.number)
    again = firm.issued(reason="mended")
    assert store.records.status(firm.id, again.record).current


def test_what_replaced_a_paper_stays_what_replaced_it(store, firm):
    kinds = ("correction_list", "correction_list", "certificate", "correction_list", "certificate")
    made = [firm.issued(kind=kind) for kind in kinds]
    firm.job = firm.new_job()
    firm.issued()
    for before, after in pairwise(made):
        assert store.records.status(firm.id, before.record).superseded_by_number == after.number
        assert store.records.check(before.number, before.check_code).replaced_by == after.number


def test_a_paper_knows_which_one_it_made_not_current_whatever_its_kind(store, firm):
    kinds = ("correction_list", "certificate", "correction_list", "certificate", "findings_report")
    made = [firm.issued(kind=kind) for kind in kinds]
    told = [store.records.get(firm.id, one.record).replaces_number for one in made]
    assert told == [None, *(one.number for one in made[:-1])]


def test_a_list_of_another_job_leaves_a_certificate_current(store, firm):
    certified = firm.issued()
    firm.issued(kind="correction_list", signature=None, job_id=firm.new_job().id)
    assert store.records.status(firm.id, certified.record).current


def test_two_corrections_of_the_same_one(store, firm):
    first = firm.issued()
    second = firm.issued(supersedes=first.record)
    store.jobs.reopen(firm.id, firm.job.id)
    with pytest.raises(SupersedeConflict) as refusal:
        store.issue(firm.wish(supersedes=first.record))
    assert refusal.value.current == second.record
    assert firm.issued().number == "C-000003"


def test_superseding_what_the_job_does_not_have(store, firm):
    elsewhere = firm.issued(job_id=firm.new_job().id)
    with pytest.raises(SupersedeConflict) as refusal:
        store.issue(firm.wish(supersedes=elsewhere.record))
    assert refusal.value.current is None


def test_the_database_refuses_a_fork(store, firm):
    first = firm.issued()
    firm.issued()
    columns = [column.name for column in tables.record.c if column.name != "id"]
    changed = {
        "number": "'X-1'",
        "serial": "99",
        "job_id": "job_id",
        "revision": "9",
        "supersedes": str(first.record),
    }
    values = ", ".join(changed.get(name, name) for name in columns)
    fork = f"INSERT INTO record ({', '.join(columns)}) SELECT {values} FROM record WHERE id = {first.record}"
    with (
        pytest.raises(IntegrityError, match=r"record\.supersedes|record_organisation_supersedes"),
        store.database.write() as connection,
    ):
        connection.execute(text(fork))
