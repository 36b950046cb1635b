"""Mails that may have arrived: tried once more at most and told as that; links that nobody got are closed."""

from __future__ import annotations

from typing import Any

import pytest

from tests.archive.conftest import a_firm, quickly_hashed
from tests.mailing.conftest import Mailing
from tests.mailing.post_office import PostOffice


def shares(mailing: Mailing) -> list[bool]:
    """Whether each link of the record was closed, newest first."""
    return [bool(one.revoked_at) for one in mailing.store.shares.all_for(mailing.firm.id, mailing.record)]


def acts(mailing: Mailing, record: int) -> list[str]:
    entries = mailing.store.log.newest(mailing.firm.id, act="mail", records=[record])
    return [one.body.split('"what":"')[1].split('"')[0] for one in reversed(entries)]


def test_a_server_that_always_drops_gets_two_copies_and_no_more(mailing: Mailing, office: PostOffice) -> None:
    mail = mailing.ask()
    office.drops = 9
    (went,) = mailing.send()
    assert (went.mail.state, went.mail.ended, went.mail.tries) == ("perhaps_sent", False, 1)
    assert mailing.send(minutes=14) == []
    (went,) = mailing.send(minutes=1)
    assert (went.mail.state, went.mail.ended) == ("perhaps_sent", True)
    assert mailing.send(minutes=60 * 24 * 9) == []
    assert len(office.arrived) == 2
    assert shares(mailing) == [False], "who got it can read the page"
    assert acts(mailing, mailing.record) == ["asked", "perhaps"]
    again = mailing.store.mails.again(mailing.firm.id, mail.id, mailing.firm.office.id)
    assert (again.state, again.message_id) == ("perhaps_sent", mail.message_id), "it may still have arrived"
    office.drops = 0
    assert mailing.send()[0].mail.state == "sent"
    assert mailing.store.verify().ok


def test_a_server_that_is_away_is_not_the_one_more_try(mailing: Mailing, office: PostOffice) -> None:
    mailing.ask()
    office.drops = 1
    mailing.send()
    office.rcpt = ["451 4.3.0 later"]
    (went,) = mailing.send(minutes=15)
    assert (went.mail.state, went.mail.ended) == ("perhaps_sent", False)
    mailing.sends_to(office.settings(port=1))
    (went,) = mailing.send(minutes=60)
    assert (went.mail.state, went.mail.ended) == ("perhaps_sent", False), went.mail.said
    mailing.sends_to(office.settings())
    assert [went.mail.state for went in mailing.send(minutes=60 * 12)] == ["sent"]
    assert len(office.arrived) == 2


def test_one_that_may_have_arrived_and_is_taken_back_has_its_link_closed(mailing: Mailing, office: PostOffice) -> None:
    mail = mailing.ask()
    office.drops = 1
    mailing.send()
    mailing.store.mails.withdraw(mailing.firm.id, mail.id, mailing.firm.office.id)
    assert shares(mailing) == [True]
    assert mailing.send(minutes=15) == []


def test_a_content_that_no_server_took_leaves_no_link_open(mailing: Mailing, office: PostOffice) -> None:
    mail = mailing.ask()
    office.content = ["554 5.6.0 not wanted"]
    assert mailing.send()[0].mail.state == "given_up"
    assert shares(mailing) == [True]
    again = mailing.store.mails.again(mailing.firm.id, mail.id, mailing.firm.office.id)
    assert again.message_id != mail.message_id, "nobody has the first, whose link is closed"
    office.content = ["451 4.3.0 later"]
    assert mailing.send()[0].mail.state == "waiting"
    assert shares(mailing) == [False, True]
    mailing.store.mails.withdraw(mailing.firm.id, mail.id, mailing.firm.office.id)
    assert shares(mailing) == [True, True]
    assert mailing.store.verify().ok


def test_a_crash_between_taken_and_written_down_sends_the_same_once_more(
    mailing: Mailing, office: PostOffice, monkeypatch: pytest.MonkeyPatch
) -> None:
    mailing.ask()

    def dies(*_: Any) -> None:
        raise SystemExit

    with monkeypatch.context() as patch:
        patch.setattr(mailing.store.mail_queue, "sent", dies)
        with pytest.raises(SystemExit):
            mailing.send()
    assert mailing.send(minutes=19) == [], "its claim holds"
    assert mailing.send(minutes=1)[0].mail.state == "sent"
    assert office.arrived[0].original_content == office.arrived[1].original_content


def test_one_whose_sender_died_with_the_content_out_is_tried_once_more(
    mailing: Mailing, office: PostOffice, monkeypatch: pytest.MonkeyPatch
) -> None:
    mail = mailing.ask()

    def dies(*_: Any) -> None:
        raise SystemExit

    with monkeypatch.context() as patch:
        patch.setattr(mailing.store.mail_queue, "sent", dies)
        with pytest.raises(SystemExit):
            mailing.send()
    office.content = ["451 4.3.0 later"]
    (went,) = mailing.send(minutes=20)
    assert (went.mail.id, went.mail.state, went.mail.ended) == (mail.id, "perhaps_sent", True)
    assert len(office.arrived) == 1


def test_a_firm_s_pile_does_not_keep_another_s_mail(mailing: Mailing) -> None:
    store = mailing.store
    with quickly_hashed():
        other = a_firm(store, "saltmarsh", "Saltmarsh Heating")
    mail = {"host": "mail.example", "sender": "papers@saltmarsh.example"}
    store.organisations.save_settings(other.id, {"mail": mail})
    record = other.issued(job_id=other.new_job().id).record
    for _ in range(3):
        mailing.ask()
    theirs = store.mails.ask(other.id, record, other.office.id, "ada@example.com", "en", "a-form-of-theirs")
    assert theirs.id in [one.id for one in store.mail_queue.due(limit=2)]
