"""The queue of mails: one wish is one mail, one try at a time, and nothing is lost, silent or kept too long."""

import itertools
import json
from contextlib import ExitStack
from datetime import timedelta

import pytest
from sqlalchemy import delete, select, update

from heaterapp import archive
from heaterapp.archive import Erased, Invalid, NotCurrent, NotMailed, log, mails, office_tables
from heaterapp.archive.mail_queue import BROUGHT, CLOSED, Stopped
from heaterapp.archive.mail_shapes import LEASE, PAUSES
from heaterapp.archive.mail_tables import mail as mail_table
from heaterapp.archive.origins import mark_restored
from tests.archive.conftest import NOON, a_firm, quickly_hashed

SETTINGS = {"mail": {"host": "mail.example", "sender": "papers@harbor.example"}}
TO = "mina.park@example.com"
FORMS = itertools.count(1)


class Moved:
    """The archive's clock, moved by `clock(minutes)`."""

    def __init__(self):
        self.now = NOON

    def __call__(self, minutes=0.0):
        self.now += timedelta(minutes=minutes)


@pytest.fixture(scope="module", params=["sqlite", "postgresql"])
def kept(request, tmp_path_factory):
    """One firm with mail set up in one archive, for all tests of this file: (firm, clock)."""
    clock = Moved()
    with ExitStack() as stack:
        place = {"data_dir": tmp_path_factory.mktemp("mails")}
        if request.param == "postgresql":
            url = stack.enter_context(request.getfixturevalue("postgres_server").lent())
            place = {"url": url, "upgrade": False}
        store = archive.open_store(**place, clock=lambda: clock.now)
        stack.callback(store.close)
        with quickly_hashed():
            yield a_firm(store, "harborlight", "Harborlight Plumbing"), clock


@pytest.fixture
def store(kept):
    return kept[0].store


@pytest.fixture
def clock(kept):
    return kept[1]


@pytest.fixture
def mailing(store, kept):
    """The firm with a record of this test's own, and an empty queue."""
    firm = kept[0]
    store.organisations.save_settings(firm.id, SETTINGS)
    firm.token = f"a token {next(FORMS)}"
    firm.own_job = firm.new_job().id
    firm.record = firm.issued(job_id=firm.own_job).record
    firm.since = len(store.log.entries(firm.id, limit=1000))

    def ask(address=TO, record=None, key=None, language="en"):
        given = (record or firm.record, firm.office.id, address, language, key or f"form-{next(FORMS):06}")
        return store.mails.ask(firm.id, *given)

    firm.ask = ask
    yield firm
    with store.database.write() as connection:
        connection.execute(update(mail_table).values(state="withdrawn"))


def taken(store):
    return store.mail_queue.take(store.mail_queue.due()[0])


def acts(store, firm):
    return [
        (json.loads(one.body)["what"], one.actor, one.said.get("to"))
        for one in store.log.entries(firm.id, limit=1000)[firm.since :] if one.act == "mail"
    ]  # fmt: skip


def test_a_mail_goes_from_asked_to_sent_and_the_log_tells_it(store, mailing):
    mail = mailing.ask()
    assert (mail.state, mail.address, mail.tries, mail.asked_by) == ("waiting", TO, 0, mailing.office.id)
    assert mail.message_id.endswith("@harbor.example>")
    assert store.mails.asked.is_set()
    now = taken(store)
    store.mail_queue.link(now, mailing.token)
    store.mail_queue.sent(now, "250 2.0.0 Ok\r\n queued")
    mail = store.mails.get(mailing.id, mail.id)
    assert (mail.state, mail.tries, mail.said, mail.claim) == ("sent", 1, "250 2.0.0 Ok queued", None)
    assert mail.sent_at == store.database.now()
    assert store.shares.lookup(mailing.token).id == mail.share
    assert acts(store, mailing) == [("asked", mailing.office.id, TO), ("sent", None, None)]
    assert store.mail_queue.due() == []
    assert store.verify().ok


def test_one_wish_sent_twice_is_one_mail_and_another_address_another(store, mailing, at_once):
    answers, errors = at_once(6, lambda at: mailing.ask(key="one-form-key"))
    assert not errors
    assert {one.id for one in answers} == {answers[0].id}
    assert mailing.ask("other@example.com", key="one-form-key").id != answers[0].id
    assert len(store.mail_queue.due()) == 2


def test_what_may_not_be_mailed_is_refused_with_the_reason(store, mailing):
    def refused(kind, words, *given, **more):
        with pytest.raises(kind, match=words):
            mailing.ask(*given, **more)

    refused(Invalid, "address", "")
    refused(Invalid, "no line breaks", "a@b.example\r\nBcc: x@y.example")
    refused(Invalid, "language", language="fr")
    refused(Invalid, "key", key="x")
    other = mailing.issued(job_id=mailing.new_job().id).record
    store.void(mailing.id, other, mailing.office.id, "wrong house")
    refused(NotCurrent, "is void", record=other)
    newer = mailing.issued(job_id=mailing.own_job).record
    refused(NotCurrent, "was replaced: the current one is C-")
    store.erase(mailing.id, newer, mailing.office.id, "asked for")
    refused(Erased, "erased", record=newer)
    store.organisations.save_settings(mailing.id, {"mail": None})
    refused(NotMailed, "under Firm", record=mailing.issued(job_id=mailing.new_job().id).record)
    assert store.mail_queue.due() == []


def test_nobody_s_box_is_filled(store, mailing, monkeypatch):
    monkeypatch.setattr(mails, "MOST", 2)
    mailing.ask()
    mailing.ask()
    with pytest.raises(NotMailed, match="2 mails"):
        mailing.ask()


def test_two_at_once_take_one_mail_once_and_a_dead_one_s_claim_runs_out(store, mailing, clock, at_once):
    mailing.ask()
    due = store.mail_queue.due()[0]
    answers, errors = at_once(6, lambda at: store.mail_queue.take(due))
    assert not errors
    assert len([one for one in answers if one is not None]) == 1
    clock(LEASE.total_seconds() / 60 - 1)
    assert store.mail_queue.due() == []
    clock(1)
    again = taken(store)
    first = next(one for one in answers if one is not None)
    with pytest.raises(Stopped, match="somebody else"):
        store.mail_queue.link(first, mailing.token)
    assert store.mail_queue.failed(first, "late", for_good=True).state == "waiting", "it has the claim no more"
    store.mail_queue.link(again, mailing.token)
    # It had handed the mail over all the same: that is what counts.
    store.mail_queue.sent(first, "250 ok")
    with pytest.raises(Stopped):
        store.mail_queue.link(again, mailing.token)
    assert store.mails.get(mailing.id, due.id).state == "sent"


def test_tries_go_on_with_growing_pauses_to_the_last_and_then_somebody_is_told(store, mailing, clock):
    mail = mailing.ask()
    for at, pause in enumerate(PAUSES):
        failed = store.mail_queue.failed(taken(store), f"451 try {at}")
        assert (failed.state, failed.tries, failed.said) == ("waiting", at + 1, f"451 try {at}")
        minutes = pause.total_seconds() / 60
        clock(minutes - 0.5)
        assert store.mail_queue.due() == []
        clock(0.5)
    assert store.mail_queue.failed(taken(store), "451 the last").state == "given_up"
    assert store.mails.count(mailing.id, "given_up") == len(store.mails.in_state(mailing.id, "given_up")) == 1
    assert store.mails.in_state(mailing.id, "given_up")[0].id == mail.id
    assert acts(store, mailing)[-1] == ("given_up", None, None)
    assert sum(PAUSES, timedelta()) > timedelta(days=2, hours=12), "a weekend without its mail server is met"


def test_one_refused_for_good_is_given_up_at_once_and_put_right(store, mailing):
    mail = mailing.ask("mnia@example.com")
    assert store.mail_queue.failed(taken(store), "550 no such user", for_good=True).state == "given_up"
    again = store.mails.again(mailing.id, mail.id, mailing.installer.id, TO)
    assert (again.state, again.tries, again.address) == ("waiting", 0, TO)
    assert again.message_id != mail.message_id, "another receiver, another mail"
    assert acts(store, mailing)[-1] == ("again", mailing.installer.id, TO)
    store.mails.withdraw(mailing.id, mail.id, mailing.office.id)
    assert store.mail_queue.due() == []
    with pytest.raises(NotMailed, match="taken back"):
        store.mails.again(mailing.id, mail.id, mailing.office.id)


def test_the_same_address_again_is_the_same_mail_with_the_same_link(store, mailing):
    mail = mailing.ask()
    now = taken(store)
    store.mail_queue.link(now, mailing.token)
    with pytest.raises(NotMailed, match="being sent just now"):
        store.mails.again(mailing.id, mail.id, mailing.office.id)
    store.mail_queue.failed(now, "broke off", perhaps=True)
    again = store.mails.again(mailing.id, mail.id, mailing.office.id, TO)
    assert (again.message_id, again.state) == (mail.message_id, "perhaps_sent")
    now = taken(store)
    store.mail_queue.link(now, mailing.token)
    assert len(store.shares.all_for(mailing.id, mailing.record)) == 1
    store.mail_queue.failed(now, "broke off", for_good=True)
    store.mails.again(mailing.id, mail.id, mailing.office.id, "other@example.com")
    assert store.shares.lookup(mailing.token) is None, "who got it first was not meant"
    assert store.verify().ok


def test_a_link_that_was_closed_takes_its_mail_along_and_another_key_makes_another_link(store, mailing):
    mailing.ask()
    now = taken(store)
    store.mail_queue.link(now, mailing.token)
    store.mail_queue.link(now, mailing.token + "2")
    assert store.shares.lookup(mailing.token) is not None, "a mail with it may have arrived"
    store.shares.revoke(mailing.id, store.shares.lookup(mailing.token + "2").id, mailing.office.id)
    with pytest.raises(Stopped, match=CLOSED):
        store.mail_queue.link(now, mailing.token + "2")


def test_a_paper_that_is_not_pressed_waits_and_one_replaced_meanwhile_does_not_go(store, mailing, clock, papers):
    waiting = store.issue(mailing.wish(job_id=mailing.new_job().id)).record
    mailing.ask(record=waiting)
    assert store.mail_queue.due() == []
    store.finish(mailing.id, waiting, papers)
    first = taken(store)
    mailing.ask()
    second = taken(store)
    store.void(mailing.id, waiting, mailing.office.id, "wrong house")
    with pytest.raises(Stopped, match="is void"):
        store.mail_queue.link(first, mailing.token)
    store.mail_queue.failed(second, "451 later")
    clock(1)
    mailing.issued(job_id=mailing.own_job)
    assert taken(store) is None
    replaced = store.mails.of_records(mailing.id, [mailing.record])[0]
    assert (replaced.state, "was replaced" in replaced.said) == ("given_up", True)


@pytest.mark.parametrize("whole_job", [False, True])
def test_an_erasure_takes_every_address_away_and_stops_what_waits(store, mailing, whole_job):
    for address in (TO, "b@example.com", "c@example.com"):
        mailing.ask(address)
    sent, going = taken(store), taken(store)
    store.mail_queue.link(sent, mailing.token)
    store.mail_queue.sent(sent, f"250 {TO} taken")
    if whole_job:
        store.erase_job(mailing.id, mailing.own_job, mailing.office.id, "asked for")
    else:
        store.erase(mailing.id, mailing.record, mailing.office.id, "asked for")
    with pytest.raises(Stopped):
        store.mail_queue.link(going, mailing.token + "2")
    # It had gone out just before.
    store.mail_queue.sent(going, "250 b@example.com taken")
    found = store.mails.of_records(mailing.id, [mailing.record])
    assert [one.state for one in found] == ["withdrawn", "sent", "sent"]
    with store.database.read() as connection:
        these = select(mail_table).where(mail_table.c.record == mailing.record)
        words = select(office_tables.said).where(office_tables.said.c.record == mailing.record)
        rows = [*connection.execute(these), *connection.execute(words)]
        entries = [one.body for one in store.log.entries(mailing.id, limit=1000)]
    assert len(rows) == 6
    assert "example.com" not in repr(rows) + repr(entries)
    assert store.mail_queue.due() == []
    assert store.verify().ok


def test_what_a_backup_or_an_import_brought_is_not_sent_by_itself(store, mailing):
    mail = mailing.ask()
    with store.database.write() as connection:
        log.lock(connection, mailing.id)
        mark_restored(connection, "2026-03-14T12:00:00Z")
    assert taken(store) is None
    with store.database.write() as connection:
        connection.execute(delete(office_tables.chore))
    held = store.mails.get(mailing.id, mail.id)
    assert (held.state, held.said) == ("given_up", BROUGHT)
    store.mails.again(mailing.id, mail.id, mailing.office.id)
    assert taken(store) is not None


def test_the_last_test_is_kept_and_no_other(store, mailing):
    assert store.mails.last_test(mailing.id) is None
    store.mails.note_test(mailing.id, False, "nobody there")
    store.mails.note_test(mailing.id, True, "250 ñ" + "x" * 900)
    tested = store.mails.last_test(mailing.id)
    assert (tested.taken, tested.at, tested.said[:6]) == (True, store.database.now(), "250 ñx")
