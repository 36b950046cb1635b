"""Invitations, roles, settings, logos and passkeys in the archive: whole or not at all, and in the log."""

import json
from datetime import timedelta

import pytest
from sqlalchemy import text

from heaterapp import archive
from heaterapp.archive import Invalid, NotFound, faults, office_tables
from heaterapp.archive.dialect import drop_guards, guards

JPEG = b"\xff\xd8 a small logo \xff\xd9"


class Struck(Exception):
    """Raised at a fault point."""


def acts(store, firm):
    return [(entry.act, json.loads(entry.body)) for entry in store.log.entries(firm.id, limit=1000)]


ACTS = {
    "person": lambda store, firm, token: store.people.save(firm.id, firm.installer.id, role="office", by=1),
    "invite": lambda store, firm, token: store.invites.take(token, "new", "walnut-spanner-81"),
    "settings": lambda store, firm, token: store.organisations.change(
        firm.id, firm.office.id, {"phone": "555-0200"}, {"retention_years": 12}, JPEG
    ),
}


@pytest.mark.parametrize("point", faults.PEOPLE + faults.SETTINGS)
def test_an_act_that_breaks_off_leaves_nothing(store, firm, point, monkeypatch):
    act = ACTS[point.partition("_")[0]]
    owner = store.people.add(firm.id, "owner", "Owner", "owner", "a long password")
    token, _ = store.invites.make(firm.id, owner.id, "New One", "office")
    session, _ = store.sessions.start(firm.id, firm.installer.id)

    def state():
        found = store.people.all(firm.id), store.organisations.get(firm.id), store.log.head(firm.id)
        return *found, store.invites.waiting(firm.id), store.organisations.logo(firm.id)

    def strike(at):
        if at == point:
            raise Struck

    before = state()
    monkeypatch.setattr(faults, "hook", strike)
    with pytest.raises(Struck):
        act(store, firm, token)
    monkeypatch.setattr(faults, "hook", faults._nothing)
    assert state() == before
    assert store.sessions.find(session) is not None
    assert store.verify().ok
    act(store, firm, token)
    assert state() != before
    assert store.verify().ok


def test_an_invitation_lasts_seven_days_less_nothing(store, firm):
    owner = store.people.add(firm.id, "owner", "Owner", "owner", "a long password").id
    token, invite = store.invites.make(firm.id, owner, "New One", "office")
    made = store.database.clock()
    assert store.invites.lookup(token, made + timedelta(days=7, seconds=-1)) == invite
    assert store.invites.lookup(token, made + timedelta(days=7)) is None
    with pytest.raises(NotFound):
        store.invites.take(token, "new", "walnut-spanner-81", made + timedelta(days=7))
    for field, changed in (("name", {"name": " "}), ("role", {"role": "boss"}), ("licence", {"licence": "x" * 101})):
        with pytest.raises(Invalid) as refusal:
            store.invites.make(firm.id, owner, **{"name": "A", "role": "office", **changed})
        assert refusal.value.field == field


def test_two_owners_demoted_at_once_leave_one(store, firm, at_once):
    owners = [store.people.add(firm.id, f"o{at}", f"O {at}", "owner", "a long password").id for at in range(3)]
    answers, errors = at_once(3, lambda at: store.people.save(firm.id, owners[at], role="office"))
    assert (len(answers), [type(error) for error in errors]) == (2, [Invalid])
    assert [one.role for one in store.people.all(firm.id)].count("owner") == 1


def test_settings_are_logged_by_name_and_without_what_they_say(store, firm):
    head = store.log.head(firm.id)
    store.organisations.change(firm.id, firm.office.id, {"phone": "555-0100"}, {"paper": None})
    assert store.log.head(firm.id) == head, "nothing changed"
    mail = {"host": "mail.example.com", "port": 25, "security": "none", "sender": "a@b.example", "password": "secret-9"}
    store.organisations.change(firm.id, firm.office.id, {"phone": "555-0200"}, {"mail": mail})
    assert acts(store, firm)[-1] == ("settings", {"keys": ["mail", "phone"]})
    shown = store.organisations.get(firm.id).settings["mail"]
    assert shown == {name: mail[name] for name in ("host", "port", "security", "sender")} | {"password_kept": True}
    store.organisations.change(firm.id, firm.office.id, settings={"mail": {**shown, "port": 26}})
    assert store.organisations.mail(firm.id) == {**mail, "port": 26}, "what is shown, sent back, keeps the secret"
    issued = firm.issued()
    kept = store.records.get(firm.id, issued.record)
    assert "secret-9" not in str(kept) + str(acts(store, firm))
    assert "mail" not in kept.organisation_snapshot["settings"]
    with pytest.raises(Invalid):
        store.organisations.change(firm.id, None, {"phone": "x" * 101}, {"retention_years": 12})
    assert "retention_years" not in store.organisations.get(firm.id).settings


def test_a_logo_is_kept_once_and_every_bit_of_it_is_held_to_the_log(store, firm, other):
    for one in (firm, other):
        store.organisations.change(one.id, one.office.id, logo=JPEG)
    store.organisations.change(firm.id, None, settings={"logo": None})
    store.organisations.change(firm.id, None, logo=JPEG)
    assert [act for act, _ in acts(store, firm)].count("logo") == 1
    assert store.verify().ok
    for column, value in (
        ("body", "X'FFD8'"), ("digest", "'" + "0" * 64 + "'"), ("kept_at", "'2026-03-14T12:00:01Z'"), ("organisation", str(other.id + 1)),
    ):  # fmt: skip
        with pytest.raises(Exception, match="logo rows are never changed"), store.database.write() as connection:
            connection.execute(text(f"UPDATE logo SET {column} = {value}"))
        with store.database.write() as connection:
            row = connection.execute(office_tables.logo.select().where(office_tables.logo.c.organisation == firm.id)).one()
            for statement in drop_guards("sqlite", ("logo",)):
                connection.exec_driver_sql(statement)
            connection.exec_driver_sql("PRAGMA defer_foreign_keys=ON")
            connection.execute(text(f"UPDATE logo SET {column} = {value} WHERE organisation = {firm.id}")) if column != "organisation" else None
            if column == "organisation":
                connection.execute(text(f"DELETE FROM logo WHERE organisation = {firm.id}"))
            for statement in guards("sqlite", ("logo",)).values():
                connection.exec_driver_sql(statement)
        assert {fault.table for fault in store.verify().faults} == {"logo"}, column
        with store.database.write() as connection:
            for statement in drop_guards("sqlite", ("logo",)):
                connection.exec_driver_sql(statement)
            connection.execute(text(f"DELETE FROM logo WHERE organisation = {firm.id}"))
            connection.execute(office_tables.logo.insert().values(**row._mapping))
            for statement in guards("sqlite", ("logo",)).values():
                connection.exec_driver_sql(statement)
        assert store.verify().ok


def test_a_passkey_s_count_only_grows_and_a_challenge_counts_once(store, firm, at_once):
    key = store.passkeys.add(firm.id, firm.office.id, "cred", b"key", 5, "Phone")
    assert not store.passkeys.used(firm.id, key.id, 5, 5)
    assert not store.passkeys.used(firm.id, key.id, 4, 6), "it was judged against an older count"
    answers, _ = at_once(4, lambda at: store.passkeys.used(firm.id, key.id, 5, 6))
    assert sorted(answers) == [False, False, False, True]
    none = store.passkeys.add(firm.id, firm.office.id, "none", b"key", 0, "Phone")
    assert store.passkeys.used(firm.id, none.id, 0, 0)
    assert store.passkeys.used(firm.id, none.id, 0, 0), "one that keeps no count"
    answers, errors = at_once(4, lambda at: store.passkeys.spend(firm.id, b"challenge"))
    assert (sorted(answers), errors) == ([False, False, False, True], [])
    for at in range(8):
        store.passkeys.add(firm.id, firm.office.id, f"more{at}", b"key", 0, "Phone")
    with pytest.raises(Invalid, match="at most 10"):
        store.passkeys.add(firm.id, firm.office.id, "eleventh", b"key", 0, "Phone")
    with pytest.raises(Invalid):
        store.passkeys.add(firm.id, firm.installer.id, "cred", b"key", 0, "Phone")


@pytest.mark.parametrize("kind", ["share", "check", "invite", "passkey", "address"])
def test_a_success_takes_back_itself_alone_whatever_the_kind(store, firm, kind):
    """Somebody who has one good link or account of his own gains no free guesses by it."""
    subject, limit = [(kind, "192.0.2.7")], 10
    noon = store.database.clock()
    for at in range(limit):
        store.throttle.attempt(firm.id, subject, noon)
        if at % 2:
            store.throttle.attempt(firm.id, subject, noon)
            store.throttle.succeeded(firm.id, subject)
    store.throttle.attempt(firm.id, subject, noon)
    with pytest.raises(archive.TooManyTries):
        store.throttle.attempt(firm.id, subject, noon)


def test_another_account_s_success_does_not_reset_the_count_of_the_one_that_is_guessed(store, firm):
    for _ in range(4):
        with pytest.raises(archive.WrongPassword):
            store.people.sign_in(firm.id, "ana", "a wrong guess", "192.0.2.7")
        store.people.sign_in(firm.id, "olu", "another password", "192.0.2.7")
    with pytest.raises(archive.TooManyTries):
        store.people.sign_in(firm.id, "ana", "a long password", "192.0.2.7")


def test_all_of_it_on_postgresql(postgres_url, at_once):
    store = archive.open_store(url=postgres_url)
    firm = store.organisations.default().id
    owner = store.people.add(firm, "owner", "Owner", "owner", "a long password").id
    token, _ = store.invites.make(firm, owner, "New One", "office")
    answers, errors = at_once(3, lambda at: store.invites.take(token, f"new{at}", "walnut-spanner-81"))
    assert (len(answers), [type(error) for error in errors]) == (1, [NotFound] * 2)
    with pytest.raises(Invalid):
        store.people.save(firm, owner, disabled=True, by=owner)
    key = store.passkeys.add(firm, owner, "cred", b"key", 1, "Phone")
    answers, _ = at_once(3, lambda at: store.passkeys.used(firm, key.id, 1, 2))
    assert sorted(answers) == [False, False, True]
    answers, errors = at_once(3, lambda at: store.passkeys.spend(firm, b"challenge"))
    assert (sorted(answers), errors) == ([False, False, True], [])
    store.organisations.change(firm, owner, {"name": "Harborlight"}, {"mail": {"password": "secret-9"}}, JPEG)
    assert store.organisations.logo(firm) == JPEG
    assert store.organisations.get(firm).settings["mail"] == {"password_kept": True}
    _, session = store.sessions.start(firm, owner)
    store.people.sign_out(firm, session.id, owner)
    assert store.sessions.live(firm) == []
    assert store.verify().ok
    store.close()
