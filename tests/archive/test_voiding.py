"""A void record stays, says so everywhere, and brings nothing back into force."""

import sqlite3

import pytest

from heaterapp.archive import AlreadyVoid, Invalid, NotCurrent, NotFound, office_tables, tables
from heaterapp.archive.dialect import guards

REASON = "issued for the wrong heater"


@pytest.fixture
def voided(store, firm):
    issued = firm.issued()
    store.void(firm.id, issued.record, firm.office.id, REASON)
    return issued


def test_a_void_record_says_when_and_why_and_is_current_no_more(store, firm, voided):
    (hit,) = store.find(firm.id, "oak").hits
    assert (hit.state, hit.voided_at, hit.void_reason) == ("void", "2026-03-14T12:00:00Z", REASON)
    status = store.records.status(firm.id, voided.record)
    assert (status.state, status.current, status.void_reason) == ("void", False, REASON)
    assert store.records.current(firm.id, firm.job.id, "certificate") is None
    assert store.records.get(firm.id, voided.record).number == voided.number
    assert store.records.file(firm.id, voided.record, "certificate.pdf")


def test_the_public_learns_the_state_and_no_reason(store, firm, voided):
    public = store.records.check(voided.number, voided.check_code)
    assert (public.state, public.replaced_by) == ("void", None)
    assert REASON not in repr(public)


def test_the_act_stands_in_the_log(store, firm, voided):
    entry = store.log.entries(firm.id)[-1]
    assert (entry.act, entry.record, entry.actor) == ("void", voided.record, firm.office.id)
    assert REASON not in entry.body
    assert entry.said == {"reason": REASON}
    assert store.verify().ok
    assert store.verify_recent().ok


def test_the_next_paper_supersedes_the_void_one_and_is_current(store, firm, voided):
    second = firm.issued()
    assert store.records.get(firm.id, second.record).supersedes == voided.record
    assert store.records.current(firm.id, firm.job.id, "certificate").number == second.number
    (_, hit) = store.find(firm.id).hits
    assert (hit.state, hit.superseded_by_number) == ("void", second.number)
    assert store.records.check(voided.number, voided.check_code).replaced_by == second.number


def test_a_void_second_brings_no_first_back(store, firm):
    first, second = firm.issued(), firm.issued()
    store.void(firm.id, second.record, firm.office.id, REASON)
    assert store.records.current(firm.id, firm.job.id, "certificate") is None
    states = {hit.number: hit.state for hit in store.records.of_job(firm.id, firm.job.id)}
    assert states == {first.number: "replaced", second.number: "void"}


def test_each_state_is_found_apart(store, firm, voided):
    replaced = firm.issued(job_id=(job := firm.new_job()).id)
    current = firm.issued(job_id=job.id)
    for state, number in (("void", voided), ("replaced", replaced), ("current", current)):
        assert [hit.number for hit in store.find(firm.id, "oak", state=state).hits] == [number.number]


def test_refusals_change_nothing(store, firm, other, voided):
    head = store.log.head(firm.id)
    with pytest.raises(AlreadyVoid, match="C-000001 is void already"):
        store.void(firm.id, voided.record, firm.office.id, "once more")
    fresh = firm.issued(job_id=firm.new_job().id)
    head = store.log.head(firm.id)
    for organisation, record, person in (
        (other.id, fresh.record, other.office.id),
        (firm.id, 99, firm.office.id),
        (firm.id, fresh.record, other.office.id),
    ):
        with pytest.raises(NotFound):
            store.void(organisation, record, person, REASON)
    for reason in ("", "  ", "x" * 301, "two\nlines"):
        with pytest.raises(Invalid, match="reason"):
            store.void(firm.id, fresh.record, firm.office.id, reason)
    assert store.log.head(firm.id) == head
    assert store.records.status(firm.id, fresh.record).state == "current"


def test_what_was_replaced_is_not_voided_but_the_one_in_its_place(store, firm):
    first, second = firm.issued(), firm.issued()
    head = store.log.head(firm.id)
    with pytest.raises(NotCurrent, match="C-000001 was replaced: the current one is C-000002"):
        store.void(firm.id, first.record, firm.office.id, REASON)
    assert store.log.head(firm.id) == head
    store.void(firm.id, second.record, firm.office.id, REASON)
    with pytest.raises(NotCurrent, match="none stands in its place"):
        store.void(firm.id, first.record, firm.office.id, REASON)


def test_of_eight_at_once_one_voids(store, firm, at_once):
    issued = firm.issued()
    answers, errors = at_once(8, lambda n: store.void(firm.id, issued.record, firm.office.id, f"reason {n}"))
    assert len(answers) == 1
    assert [type(error) for error in errors] == [AlreadyVoid] * 7
    assert store.verify().ok


@pytest.mark.parametrize(
    ("change", "field"),
    [("UPDATE void SET entry = 1", "entry"), ("UPDATE void SET voided_by = 1", "voided_by"),
     ("UPDATE void SET voided_at = '2020-01-01T00:00:00Z'", "voided_at"), ("DELETE FROM void", "record"),
     ("INSERT INTO void SELECT organisation, 2, voided_at, voided_by, entry FROM void", "record")],
)  # fmt: skip
def test_a_void_row_that_is_not_the_log_s_is_named(store, firm, folder, voided, change, field):
    firm.issued(job_id=firm.new_job().id)
    raw = sqlite3.connect(folder / "archive.sqlite3", isolation_level=None)
    with pytest.raises(sqlite3.IntegrityError, match="never changed") if "INTO" not in change else _quiet():
        raw.execute(change)
    made = guards("sqlite", office_tables.RECORDED)
    for name in made:
        raw.execute(f"DROP TRIGGER {name}")
    if "INTO" not in change:
        raw.execute(change)
    for statement in made.values():
        raw.execute(statement)
    raw.close()
    for look in (store.verify, store.verify_recent):
        assert [(fault.table, fault.field) for fault in look().faults] == [("void", field)]


class _quiet:
    def __enter__(self):
        return self

    def __exit__(self, *_):
        return False


def test_the_guards_of_a_void_are_named_too():
    assert "void" in office_tables.RECORDED
    assert not set(tables.RECORDED) & set(office_tables.RECORDED)
