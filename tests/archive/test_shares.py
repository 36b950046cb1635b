"""Links for the homeowner."""

from datetime import datetime, timedelta

import pytest
from sqlalchemy import select

from heaterapp.archive import Invalid, NotFound, faults, tables


class Struck(Exception):
    """What breaks an act off here."""


def test_a_token_opens_its_record_until_revoked(store, firm):
    record = firm.issued().record
    token, share = store.shares.make(firm.id, record, firm.office.id)
    assert store.shares.lookup(token) == share
    assert (share.organisation, share.record, share.created_by) == (firm.id, record, firm.office.id)
    store.shares.revoke(firm.id, share.id, firm.office.id)
    store.shares.revoke(firm.id, share.id, firm.office.id)
    assert store.shares.lookup(token) is None
    assert store.shares.all_for(firm.id, record)[0].revoked_at == "2026-03-14T12:00:00Z"
    acts = [(entry.act, entry.actor) for entry in store.log.entries(firm.id)][-2:]
    assert acts == [("share", firm.office.id), ("share_revoked", firm.office.id)]
    assert store.verify().ok


def test_expiry(store, firm):
    now = store.database.clock()
    token, share = store.shares.make(firm.id, firm.issued().record, expires_at=now + timedelta(days=90))
    assert store.shares.lookup(token, now + timedelta(days=90, seconds=-1)) == share
    assert store.shares.lookup(token, now + timedelta(days=90)) is None


def test_a_time_without_its_zone_is_refused(store, firm):
    with pytest.raises(ValueError, match="time zone"):
        store.shares.make(firm.id, firm.issued().record, expires_at=datetime(2027, 1, 1))
    assert store.shares.all_for(firm.id, 1) == []


def test_tokens_are_long_different_and_stored_nowhere(store, firm, folder):
    record = firm.issued().record
    tokens = [store.shares.make(firm.id, record)[0] for _ in range(20)]
    assert len(set(tokens)) == 20
    assert min(len(token) for token in tokens) == 32, "24 bytes: 192 bits"
    kept = b"".join(path.read_bytes() for path in folder.iterdir())
    assert not any(token.encode() in kept for token in tokens)
    with store.database.read() as connection:
        assert len(connection.execute(select(tables.share.c.token_hash)).all()) == 20


@pytest.mark.parametrize("token", ["", "x", "\0", "\ud800", "x" * 10_000_000, "' OR 1=1 --"])
def test_other_tokens_open_nothing(store, firm, token):
    store.shares.make(firm.id, firm.issued().record)
    assert store.shares.lookup(token) is None


def test_only_of_what_exists(store, firm):
    with pytest.raises(NotFound):
        store.shares.make(firm.id, 999)
    with pytest.raises(NotFound):
        store.shares.revoke(firm.id, 999)


def test_a_link_is_led_on_to_a_newer_paper_of_its_job_that_stands_and_to_no_other(store, firm, monkeypatch):
    first = firm.issued().record
    token, share = store.shares.make(firm.id, first)
    ended, _ = store.shares.make(firm.id, first, expires_at=store.database.clock() + timedelta(seconds=-1))
    other = firm.issued(job_id=firm.new_job().id).record
    second = firm.issued(key="key-of-second").record
    third = firm.issued(key="key-of-third").record
    for point in faults.LEADING_ON[:-1]:

        def strike(at, point=point):
            if at == point:
                raise Struck

        monkeypatch.setattr(faults, "hook", strike)
        with pytest.raises(Struck):
            store.shares.lead_on(firm.id, share.id, third, firm.office.id)
        monkeypatch.setattr(faults, "hook", faults._nothing)
        assert store.shares.lookup(token).shows == first, point
    for wrong in (other, second):
        with pytest.raises(Invalid, match="newer paper of the same job"):
            store.shares.lead_on(firm.id, share.id, wrong)
    with pytest.raises(Invalid, match="a link that opens"):
        store.shares.lead_on(firm.id, share.id + 1, third)
    for nowhere in ((999, third), (share.id, 999)):
        with pytest.raises(NotFound):
            store.shares.lead_on(firm.id, *nowhere)
    store.shares.lead_on(firm.id, share.id, third, firm.office.id)
    store.shares.lead_on(firm.id, share.id, third)
    assert (store.shares.lookup(token).record, store.shares.lookup(token).shows) == (first, third)
    assert store.shares.lookup(ended) is None
    assert [one.shows for one in store.shares.all_for(firm.id, first)] == [first, third]
    assert store.shares.all_for(firm.id, third) == []
    acts = [(entry.act, entry.record, entry.actor) for entry in store.log.entries(firm.id)]
    assert acts[-1] == ("share_led_on", first, firm.office.id)
    assert acts.count(acts[-1]) == 1
    store.shares.revoke(firm.id, share.id)
    assert store.shares.lookup(token) is None
    assert store.verify().ok
