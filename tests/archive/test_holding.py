"""Holds, the rule of keeping, and a whole job erased: refused in words, done whole, and verified."""

import sqlite3
from datetime import UTC, datetime

import pytest
from sqlalchemy import text

from heaterapp import archive
from heaterapp.archive import (
    Erased,
    Facts,
    Invalid,
    KeptLonger,
    NotByRule,
    NotFound,
    Photo,
    UnderHold,
)

SECRETS = (
    "Zebedee Quill",
    "77 Xylophone",
    "SER-98765-Q",
    "permit-quagga",
    "drawn-quokka",
    "desk-note-axolotl",
)
PHOTO = Photo("plate", "note-of-okapi", True, "2026-03-13T10:00:00Z", "ab" * 32, 4, 4, b"jpeg of a narwhal")
TYPED = tuple(f"typed-{word}" for word in ("asker", "purpose", "void", "hold", "lift", "desk", "opened"))
GONE = (*SECRETS, *TYPED, "note-of-okapi", "jpeg of a narwhal", "storage_gal")


@pytest.fixture
def told(store, firm):
    """A job whose every text is told apart, with two records, a link, desk rows and a held photo."""
    facts = Facts(
        address="77 Xylophone Row", owner="Zebedee Quill", serial="SER-98765-Q", permit="permit-quagga",
        work_date="2026-03-20",
    )  # fmt: skip
    wish = {"facts": facts, "signature": b'{"signatures":"drawn-quokka"}', "photos": (PHOTO,)}
    store.jobs.save_answers(firm.id, firm.job.id, {"owner_name": "Zebedee Quill"})
    first, second = firm.issued(**wish), firm.issued(**wish)
    store.jobs.save_signature(firm.id, store.jobs.reopen(firm.id, firm.job.id).id, {"by": "drawn-quokka"})
    token, _ = store.shares.make(firm.id, second.record, firm.office.id)
    store.uploads.hold(firm.id, firm.installer.id, PHOTO.sha256, b"jpeg of a narwhal", 4, 4)
    store.uploads.hold(firm.id, firm.installer.id, "cd" * 32, b"another job's", 4, 4)
    store.corrections.open_again(
        firm.id, second.record, firm.office.id, {"a": 1}, {}, "typed-opened", "open-key-1"
    )
    store.copies.give(firm.id, second.record, firm.office.id, "paper", "typed-asker", "typed-purpose", True)
    store.void(firm.id, second.record, firm.office.id, "typed-void")
    hold = store.holds.place(firm.id, firm.job.id, firm.office.id, "typed-hold")
    store.holds.lift(firm.id, hold.id, firm.office.id, "typed-lift")
    store.desk.save(firm.id, firm.office.id, firm.job.id, facts={"contact_name": "desk-note-axolotl"},
                    reason="typed-desk")  # fmt: skip
    return first, second, token


def erase(store, firm):
    store.erase_job(firm.id, firm.job.id, firm.office.id, "asked for by the owner")


def test_the_whole_job_goes_at_once_and_the_chain_verifies(store, firm, told):
    first, second, token = told
    erase(store, firm)
    assert store.verify().faults == ()
    assert store.verify_recent().faults == ()
    for one in (first, second):
        with pytest.raises(Erased):
            store.records.get(firm.id, one.record)
        assert store.records.check(one.number, one.check_code).files == {}
    job = store.jobs.get(firm.id, firm.job.id)
    assert (job.state, job.answers, job.signature) == ("erased", {}, None)
    assert store.shares.lookup(token) is None
    assert store.find(firm.id, "xylophone").hits == ()
    assert store.uploads.held(firm.id, [PHOTO.sha256, "cd" * 32]) == {"cd" * 32}
    assert firm.job.id not in [one.id for one in store.jobs.all(firm.id)]
    entry = store.log.newest(firm.id, limit=1)[0]
    assert (entry.act, entry.actor, entry.record) == ("erase_job", firm.office.id, second.record)
    assert [hit.number for hit in store.records.of_job(firm.id, firm.job.id)] == [second.number, first.number]
    head = store.log.head(firm.id)
    erase(store, firm)
    assert store.log.head(firm.id) == head
    store.database.compact()
    assert store.verify().ok


def test_no_string_of_it_is_left_in_the_compacted_files(store, firm, told, folder):
    before = b"".join(path.read_bytes() for path in folder.glob("archive.sqlite3*"))
    assert all(word.encode() in before for word in GONE)
    erase(store, firm)
    store.database.compact()
    after = b"".join(path.read_bytes() for path in folder.glob("archive.sqlite3*")).lower()
    assert [word for word in GONE if word.lower().encode() in after] == []
    assert [word for word in ("zebedee", "quill", "xylophone") if word.encode() in after] == []
    assert store.verify().ok


def test_nothing_more_is_issued_or_saved_for_it(store, firm, told):
    erase(store, firm)
    with pytest.raises(Erased):
        store.issue(firm.wish())
    with pytest.raises(archive.JobIssued):
        store.jobs.save_answers(firm.id, firm.job.id, {"a": 1})
    assert store.jobs.reopen(firm.id, firm.job.id).state == "erased"
    for act in (store.corrections.opened, store.kept_until):
        assert act(firm.id, firm.job.id) is None


def test_a_job_without_a_paper_can_be_erased_too(store, firm):
    job = firm.new_job(owner_name="Zebedee Quill")
    store.erase_job(firm.id, job.id, firm.office.id, "asked for")
    assert store.jobs.get(firm.id, job.id).answers == {}
    assert store.verify().ok


def test_a_hold_refuses_every_erasure_until_it_is_lifted(store, firm, told):
    hold = store.holds.place(firm.id, firm.job.id, firm.office.id, "suit over the leak")
    second = store.holds.place(firm.id, firm.job.id, firm.office.id, "insurer's letter")
    before = store.log.head(firm.id), store.jobs.get(firm.id, firm.job.id)
    says = "On hold since 2026-03-14: suit over the leak"
    acts = (
        lambda: erase(store, firm),
        lambda: store.retire_job(firm.id, firm.job.id, firm.office.id),
        lambda: store.erase(firm.id, told[0].record, firm.office.id, "why"),
    )
    for act in acts:
        with pytest.raises(UnderHold, match=says):
            act()
    assert (store.log.head(firm.id), store.jobs.get(firm.id, firm.job.id)) == before
    store.holds.lift(firm.id, hold.id, firm.office.id, "settled")
    with pytest.raises(UnderHold, match="insurer's letter"):
        erase(store, firm)
    lifted = store.holds.lift(firm.id, second.id, firm.installer.id, "withdrawn")
    assert (lifted.lifted_by, lifted.lifted_reason) == (firm.installer.id, "withdrawn")
    head = store.log.head(firm.id)
    assert store.holds.lift(firm.id, second.id, firm.office.id, "again") == lifted
    assert store.log.head(firm.id) == head
    assert [one.id for one in store.holds.of_job(firm.id, firm.job.id)][:2] == [second.id, hold.id]
    erase(store, firm)
    assert store.verify().ok


def test_the_rule_refuses_a_job_without_a_paper_and_one_that_is_open_again(store, firm, told, folder):
    bare = firm.new_job(owner_name="Zebedee Quill")
    later = archive.open_store(data_dir=folder, clock=lambda: datetime(2050, 1, 1, tzinfo=UTC), upgrade=False)
    try:
        for job, said in ((bare.id, "No paper was issued"), (firm.job.id, "open again")):
            with pytest.raises(NotByRule, match=said + ".*on request only"):
                later.retire_job(firm.id, job, firm.office.id)
            assert store.jobs.get(firm.id, job).answers["owner_name"] == "Zebedee Quill"
    finally:
        later.close()


def test_fewer_years_hold_only_for_what_is_issued_from_then_on(store, firm):
    def years(job):
        return int(store.kept_until(firm.id, job.id)[:4]) - 2026

    def set_to(many):
        store.organisations.save_settings(firm.id, {"retention_years": many})

    def issued():
        job = firm.new_job()
        firm.issued(job_id=job.id)
        return job

    first = issued()
    set_to(3)
    second = issued()
    assert (years(first), years(second)) == (10, 5), "never below five, nor below what was set at the issue"
    set_to(15)
    third = issued()
    assert [years(job) for job in (first, second, third)] == [15, 15, 15]
    set_to(7)
    assert [years(job) for job in (first, second, third)] == [10, 7, 15]


def test_the_rule_names_the_day_and_then_lets_go(store, firm, told, folder):
    firm.issued(facts=Facts(work_date="2026-03-20"))
    assert store.kept_until(firm.id, firm.job.id) == "2036-03-20"
    with pytest.raises(KeptLonger, match="kept until 2036-03-20"):
        store.retire_job(firm.id, firm.job.id, firm.office.id)
    store.organisations.save_settings(firm.id, {"retention_years": 12})
    assert store.kept_until(firm.id, firm.job.id) == "2038-03-20"
    for day, early in (
        (datetime(2038, 3, 19, 23, 59, tzinfo=UTC), True),
        (datetime(2038, 3, 20, tzinfo=UTC), False),
    ):
        later = archive.open_store(data_dir=folder, clock=lambda day=day: day, upgrade=False)
        try:
            if early:
                with pytest.raises(KeptLonger):
                    later.retire_job(firm.id, firm.job.id, firm.office.id)
            else:
                later.retire_job(firm.id, firm.job.id, firm.office.id)
        finally:
            later.close()
    assert store.jobs.get(firm.id, firm.job.id).state == "erased"


def test_refusals(store, firm, other, told):
    head = store.log.head(firm.id)
    hold = store.holds.place(other.id, other.job.id, other.office.id, "theirs")
    for act in (
        lambda: store.holds.place(firm.id, other.job.id, firm.office.id, "x"),
        lambda: store.holds.place(firm.id, "no uuid", firm.office.id, "x"),
        lambda: store.holds.lift(firm.id, hold.id, firm.office.id, "x"),
        lambda: store.erase_job(other.id, firm.job.id, other.office.id, "x"),
        lambda: store.erase_job(firm.id, firm.job.id, other.office.id, "x"),
        lambda: store.retire_job(other.id, firm.job.id, other.office.id),
    ):
        with pytest.raises(NotFound):
            act()
    for reason in ("", " ", "x" * 301, "a\nb"):
        with pytest.raises(Invalid, match="reason"):
            store.holds.place(firm.id, firm.job.id, firm.office.id, reason)
        with pytest.raises(Invalid, match="reason"):
            store.erase_job(firm.id, firm.job.id, firm.office.id, reason)
    assert store.log.head(firm.id) == head


@pytest.mark.parametrize(
    ("change", "field"),
    [("UPDATE hold SET reason = 'x'", "reason"), ("UPDATE hold SET placed_by = 1", "placed_by"),
     ("UPDATE hold SET lifted_at = NULL", "lifted_at"), ("UPDATE hold SET lifted_reason = 'x'", "lifted_reason"),
     ("DELETE FROM hold", "id"),
     ("INSERT INTO hold SELECT 9, organisation, job_id, placed_at, placed_by, reason, NULL, NULL, NULL FROM hold", "id")],
)  # fmt: skip
def test_a_hold_that_is_not_the_log_s_is_named(store, firm, folder, change, field):
    hold = store.holds.place(firm.id, firm.job.id, firm.office.id, "suit")
    store.holds.lift(firm.id, hold.id, firm.office.id, "settled")
    assert store.verify().ok
    raw = sqlite3.connect(folder / "archive.sqlite3", isolation_level=None)
    raw.execute(change)
    raw.close()
    assert [(fault.table, fault.field) for fault in store.verify().faults] == [("hold", field)]


def test_an_entry_taken_away_is_missed(store, firm, told, folder):
    erase(store, firm)
    with store.database.write() as connection:
        connection.execute(text("DROP TRIGGER keep_log_delete"))
        connection.execute(text("DELETE FROM log WHERE act = 'erase_job'"))
    assert {"seq", "digest"} <= {fault.field for fault in store.verify().faults}
