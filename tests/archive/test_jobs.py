"""Working rows: no answer is ever lost, and two people at once are told."""

import threading
from decimal import Decimal
from uuid import uuid4

import pytest

from heaterapp.archive import AnswerConflict, Invalid, JobChanged, JobIssued, NotFound


def _save(store, firm, changes, revision=None):
    return store.jobs.save_answers(firm.id, firm.job.id, changes, revision)


def _answers(store, firm):
    return store.jobs.get(firm.id, firm.job.id).answers


def test_changes_are_merged_and_none_removes(store, firm):
    assert _save(store, firm, {"storage_gal": 40, "strap_heights_in": [10, "43 1/2"]}) == 2
    assert _save(store, firm, {"storage_gal": None, "owner_name": "Mina"}) == 3
    assert _answers(store, firm) == {"strap_heights_in": [10, "43 1/2"], "owner_name": "Mina"}


def test_saving_what_is_there_already_changes_nothing(store, firm):
    revision = _save(store, firm, {"a": 1})
    assert _save(store, firm, {"a": 1, "b": None}) == revision


def test_different_keys_from_the_same_revision_both_stay(store, firm):
    _save(store, firm, {"a": 1}, 1)
    assert _save(store, firm, {"b": 2}, 1) == 3
    assert _answers(store, firm) == {"a": 1, "b": 2}


def test_the_same_key_from_the_same_revision_is_a_conflict_with_both_values(store, firm):
    _save(store, firm, {"a": "theirs", "c": 1}, 1)
    with pytest.raises(AnswerConflict) as conflict:
        _save(store, firm, {"a": "mine", "b": 2}, 1)
    assert (conflict.value.conflicts, conflict.value.revision) == ({"a": ("theirs", "mine")}, 2)
    assert _answers(store, firm) == {"a": "theirs", "c": 1}, "nothing half-saved"
    assert _save(store, firm, {"a": "mine", "b": 2}, conflict.value.revision) == 3


def test_removing_against_changing_is_a_conflict_either_way(store, firm):
    revision = _save(store, firm, {"a": 1, "b": 1})
    _save(store, firm, {"a": None, "b": 2}, revision)
    with pytest.raises(AnswerConflict) as conflict:
        _save(store, firm, {"a": 9, "b": None}, revision)
    assert conflict.value.conflicts == {"a": (None, 9), "b": (2, None)}


def test_the_same_value_from_both_is_no_conflict(store, firm):
    _save(store, firm, {"a": [1, 2]}, 1)
    assert _save(store, firm, {"a": [1, 2]}, 1) == 2


def test_without_a_revision_the_last_one_wins(store, firm):
    _save(store, firm, {"a": 1})
    _save(store, firm, {"a": 2})
    assert _answers(store, firm) == {"a": 2}


def test_saving_from_many_threads_loses_no_key(store, firm):
    def save(at):
        _save(store, firm, {f"k{at}": at})

    threads = [threading.Thread(target=save, args=(at,)) for at in range(12)]
    for thread in threads:
        thread.start()
    for thread in threads:
        thread.join()
    assert _answers(store, firm) == {f"k{at}": at for at in range(12)}
    assert store.jobs.get(firm.id, firm.job.id).revision == 13


def test_the_phone_makes_the_id_and_may_send_it_twice(store, firm):
    made = store.jobs.create(firm.id, firm.installer.id, {"a": 1}, str(uuid4()).upper())
    again = store.jobs.create(firm.id, None, {"a": 2}, made.id)
    assert again == made
    assert made.id == made.id.lower()


def test_the_same_id_in_two_organisations_is_two_jobs(store, firm, other):
    twin = store.jobs.create(other.id, other.installer.id, {"b": 1}, firm.job.id)
    _save(store, firm, {"a": 1})
    assert store.jobs.get(other.id, twin.id).answers == {"b": 1}


def test_decimals_are_kept_as_their_text(store, firm):
    _save(store, firm, {"a": Decimal("14.375")})
    assert _answers(store, firm) == {"a": "14.375"}


def _nested(depth):
    value = []
    for _ in range(depth):
        value = [value]
    return value


@pytest.mark.parametrize(
    "changes",
    [
        {"a": float("nan")},
        {"a": float("inf")},
        {"a": Decimal("NaN")},
        {"a": object()},
        {"a": b"bytes"},
        {"a": "\ud800"},
        {"a": "x" * 10_000_000},
        {"x" * 101: 1},
        {"": 1},
        {1: 1},
        ["a"],
        {"a": _nested(100_000)},
    ],
    ids=range(12),
)
def test_what_json_cannot_hold_is_refused_and_nothing_changes(store, firm, changes):
    _save(store, firm, {"kept": 1})
    with pytest.raises(Invalid) as refusal:
        _save(store, firm, changes)
    assert refusal.value.field == "answers"
    assert _answers(store, firm) == {"kept": 1}


def test_answers_have_a_size_in_all(store, firm):
    _save(store, firm, {"a": "x" * 600_000})
    with pytest.raises(Invalid):
        _save(store, firm, {"b": "x" * 600_000})


def test_a_signature_belongs_to_the_answers_it_was_given_for(store, firm):
    _save(store, firm, {"a": 1})
    signed = store.jobs.save_signature(firm.id, firm.job.id, {"typed": "A. Reyes"})
    assert signed.signature_is_current
    _save(store, firm, {"a": 2})
    assert not store.jobs.get(firm.id, firm.job.id).signature_is_current
    assert store.jobs.save_signature(firm.id, firm.job.id, None).signature is None


def test_what_changed_meanwhile_is_not_signed(store, firm):
    seen = _save(store, firm, {"a": 1})
    _save(store, firm, {"a": 2})
    with pytest.raises(JobChanged) as refusal:
        store.jobs.save_signature(firm.id, firm.job.id, {"typed": "A. Reyes"}, seen)
    assert (refusal.value.expected, refusal.value.stored) == (seen, seen + 1)
    assert store.jobs.get(firm.id, firm.job.id).signature is None
    assert store.jobs.save_signature(
        firm.id, firm.job.id, {"typed": "A. Reyes"}, seen + 1
    ).signature_is_current


def test_reopening_begins_a_revision_of_its_own(store, firm):
    before = store.jobs.get(firm.id, firm.job.id).revision
    assert store.jobs.reopen(firm.id, firm.job.id).revision == before
    firm.issued()
    assert store.jobs.reopen(firm.id, firm.job.id).revision == before + 1


def test_an_issued_job_is_changed_only_after_reopening(store, firm):
    store.jobs.save_signature(firm.id, firm.job.id, {"typed": "A. Reyes"})
    firm.issued()
    with pytest.raises(JobIssued):
        _save(store, firm, {"a": 1})
    with pytest.raises(JobIssued):
        store.jobs.save_signature(firm.id, firm.job.id, {})
    reopened = store.jobs.reopen(firm.id, firm.job.id)
    assert (reopened.state, reopened.signature) == ("draft", None)
    _save(store, firm, {"a": 1})
    assert firm.issued().revision == 2


def test_installers_have_their_own_list(store, firm):
    bo = store.people.add(firm.id, "bo", "Bo Lind", "installer", "a long password")
    theirs = store.jobs.create(firm.id, bo.id)
    nobodys = store.jobs.create(firm.id)
    assert [job.id for job in store.jobs.jobs_for(firm.id, bo.id)] == [theirs.id]
    store.jobs.assign(firm.id, nobodys.id, bo.id)
    assert {job.id for job in store.jobs.jobs_for(firm.id, bo.id)} == {theirs.id, nobodys.id}
    assert store.jobs.assign(firm.id, nobodys.id, None).installer is None
    assert len(store.jobs.all(firm.id)) == 3


def test_lists_page_by_key_and_filter_by_state(store, firm):
    for _ in range(6):
        firm.new_job()
    firm.issued()
    seen, after = [], None
    while page := store.jobs.all(firm.id, after=after, limit=3):
        seen += [job.id for job in page]
        after = page[-1]
    assert len(seen) == len(set(seen)) == 7
    assert [job.id for job in store.jobs.all(firm.id, state="issued")] == [firm.job.id]


@pytest.mark.parametrize(
    "job_id", ["", "x", "../x", "\0", "1" * 10_000_000, "299f32b9-761b-49a0-80bb-503f350987e8", None, 7]
)
def test_no_such_job(store, firm, job_id):
    with pytest.raises(NotFound):
        store.jobs.get(firm.id, job_id)


def test_a_bad_id_is_named(store, firm):
    with pytest.raises(Invalid) as refusal:
        store.jobs.create(firm.id, job_id="not-a-uuid")
    assert refusal.value.field == "job_id"
