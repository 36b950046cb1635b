"""What goes with a person who goes, and with a password that is changed: invitations, passkeys, sign-ins begun."""

import json

import pytest
from argon2 import PasswordHasher
from sqlalchemy import select, update

from heaterapp.archive import NotFound, WrongPassword, people, tables

PASSWORD = "a long password"


@pytest.fixture
def owners(store, firm):
    """Two owners; the second has invited a third."""
    first, second = (store.people.add(firm.id, f"o{at}", f"O {at}", "owner", PASSWORD).id for at in (1, 2))
    token, invite = store.invites.make(firm.id, second, "O 3", "owner")
    store.invites.make(firm.id, first, "Stays", "office")
    return first, second, token, invite.id


@pytest.mark.parametrize("change", [{"disabled": True}, {"role": "office"}], ids=str)
def test_what_an_owner_invited_is_closed_with_the_owner(store, firm, owners, change):
    first, second, token, invite = owners
    store.people.save(firm.id, second, by=first, **change)
    assert store.invites.lookup(token) is None
    with pytest.raises(NotFound):
        store.invites.take(token, "third", "walnut-spanner-81")
    assert [one.name for one in store.invites.waiting(firm.id)] == ["Stays"]
    told = [(one.actor, json.loads(one.body)) for one in store.log.entries(firm.id, limit=99) if one.act == "invite"]
    assert told[-1] == (first, {"invite": invite, "what": "revoked"})
    store.people.save(firm.id, second, by=first, disabled=False, role="owner")
    assert store.invites.lookup(token) is None, "closed for good"
    assert store.verify().ok


@pytest.mark.parametrize("change", [{"disabled": True}, {"role": "office"}], ids=str)
def test_a_link_of_who_is_no_owner_now_opens_nothing_though_nobody_closed_it(store, firm, owners, change):
    _, second, token, _ = owners
    with store.database.write() as connection:
        connection.execute(update(tables.person).where(tables.person.c.id == second).values(change))
    assert store.invites.lookup(token) is None
    with pytest.raises(NotFound):
        store.invites.take(token, "third", "walnut-spanner-81")
    with pytest.raises(NotFound):
        store.invites.make(firm.id, second, "O 4", "owner")


def test_a_new_password_removes_the_passkeys_unless_they_are_kept(store, firm):
    ana = firm.installer.id
    store.passkeys.add(firm.id, ana, "cred", b"key", 0, "Phone")
    store.passkeys.add(firm.id, firm.office.id, "other", b"key", 0, "Phone")
    store.people.set_password(firm.id, ana, "walnut-spanner-81", by=ana, keep_passkeys=True)
    assert len(store.passkeys.all_for(firm.id, ana)) == 1
    store.people.set_password(firm.id, ana, "walnut-spanner-82", by=firm.office.id)
    assert store.passkeys.all_for(firm.id, ana) == []
    assert len(store.passkeys.all_for(firm.id, firm.office.id)) == 1
    body = [json.loads(one.body) for one in store.log.entries(firm.id, limit=99) if one.act == "passkey"][-1]
    assert (body["what"], body["person"]) == ("removed", ana)


def _by_password(store, firm):
    return store.people.sign_in(firm.id, "ana", PASSWORD, "192.0.2.7")


def _by_passkey(store, firm):
    store.passkeys.add(firm.id, firm.installer.id, "cred", b"key", 0, "Phone")
    return store.passkeys.by_credential("cred")[1]


@pytest.mark.parametrize("asked", [_by_password, _by_passkey])
def test_a_session_is_not_begun_with_what_counted_before_a_new_password(store, firm, asked):
    ana = asked(store, firm)
    assert "proof" not in repr(ana)
    assert store.sessions.start(firm.id, ana.id, proof=ana.proof)
    store.people.set_password(firm.id, ana.id, "walnut-spanner-81")
    with pytest.raises(WrongPassword):
        store.sessions.start(firm.id, ana.id, proof=ana.proof)
    assert store.sessions.live(firm.id, ana.id) == []


def test_a_password_renewed_at_sign_in_begins_a_session_and_never_brings_an_old_one_back(store, firm, monkeypatch):
    def kept():
        with store.database.read() as connection:
            return connection.execute(select(tables.person.c.password_hash).where(tables.person.c.login == "ana")).scalar()

    dear = PasswordHasher(time_cost=2, memory_cost=16, parallelism=1)
    monkeypatch.setattr(people, "hasher", dear)
    before, plainly = kept(), people.hashed

    def meanwhile(password):
        # Nothing is locked while the hash is worked out: another sets a new password just then.
        monkeypatch.setattr(people, "hashed", plainly)
        store.people.set_password(firm.id, firm.installer.id, "walnut-spanner-81")
        return plainly(password)

    monkeypatch.setattr(people, "hashed", meanwhile)
    late = _by_password(store, firm)
    assert kept() != before
    with pytest.raises(WrongPassword):
        store.sessions.start(firm.id, late.id, proof=late.proof)
    with pytest.raises(WrongPassword):
        _by_password(store, firm)
    monkeypatch.setattr(people, "hasher", PasswordHasher(time_cost=3, memory_cost=16, parallelism=1))
    ana = store.people.sign_in(firm.id, "ana", "walnut-spanner-81", "192.0.2.7")
    assert "t=3" in kept()
    assert store.sessions.start(firm.id, ana.id, proof=ana.proof)
