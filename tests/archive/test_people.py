"""People, sign-in, sessions that end on the server, and guessing that slows down."""

import threading
from datetime import UTC, datetime, timedelta

import pytest
from argon2 import PasswordHasher, extract_parameters
from sqlalchemy import select

from heaterapp.archive import Invalid, NotFound, TooManyTries, WrongPassword, people, tables
from heaterapp.archive.throttle import delay_s

NOON = datetime(2026, 3, 14, 12, 0, tzinfo=UTC)
WRONG = "not the password"


def _sign_in(store, firm, password="a long password", login="ana", address="192.0.2.7", now=NOON):
    return store.people.sign_in(firm.id, login, password, address, now)


def test_right_password(store, firm):
    assert _sign_in(store, firm) == firm.installer
    assert _sign_in(store, firm, login="  ANA ") == firm.installer


@pytest.mark.parametrize(
    ("login", "password"),
    [
        ("ana", WRONG),
        ("nobody", "a long password"),
        ("", ""),
        ("\0", "x"),
        ("ana", ""),
        ("x" * 10**6, "x" * 10**6),
    ],
)
def test_wrong_password_and_unknown_name_are_the_same_refusal(store, firm, login, password):
    with pytest.raises(WrongPassword) as refusal:
        _sign_in(store, firm, password, login)
    assert str(refusal.value) == "Login name and password do not go together."


def test_passwords_are_kept_as_argon2id_at_full_cost(store, firm, quick_hash):
    quick_hash.undo()
    store.people.set_password(firm.id, firm.office.id, "quay street at noon")
    with store.database.read() as connection:
        kept = connection.execute(
            select(tables.person.c.password_hash).where(tables.person.c.id == firm.office.id)
        ).scalar()
    cost = extract_parameters(kept)
    assert kept.startswith("$argon2id$")
    assert (cost.time_cost, cost.memory_cost) >= (3, 65536)


def test_an_old_cost_is_renewed_at_sign_in(store, firm, monkeypatch):
    monkeypatch.setattr(people, "hasher", PasswordHasher(time_cost=2, memory_cost=16, parallelism=1))
    _sign_in(store, firm)
    with store.database.read() as connection:
        kept = connection.execute(
            select(tables.person.c.password_hash).where(tables.person.c.id == firm.installer.id)
        ).scalar()
    assert extract_parameters(kept).time_cost == 2
    assert _sign_in(store, firm) == firm.installer


@pytest.mark.parametrize("password", ["seven77", "nine-char", "x" * 257, 12345678])
def test_password_lengths(store, firm, password):
    with pytest.raises(Invalid) as refusal:
        store.people.set_password(firm.id, firm.office.id, password)
    assert refusal.value.field == "password"


@pytest.mark.parametrize(
    ("change", "field"),
    [
        ({"login": "ANA"}, "login"),
        ({"login": ""}, "login"),
        ({"login": "a\nb"}, "login"),
        ({"name": " "}, "name"),
        ({"name": "x" * 201}, "name"),
        ({"role": "boss"}, "role"),
        ({"licence": "x" * 101}, "licence"),
    ],
)
def test_refused_people(store, firm, change, field):
    usual = {"login": "cy", "name": "Cy", "role": "installer", "password": "a long password"}
    with pytest.raises(Invalid) as refusal:
        store.people.add(firm.id, **{**usual, **change})
    assert refusal.value.field == field
    assert len(store.people.all(firm.id)) == 2


def test_people_of_no_organisation(store):
    with pytest.raises(NotFound):
        store.people.add(999, "cy", "Cy", "installer", "a long password")


def test_the_same_login_in_two_organisations(store, firm, other):
    assert _sign_in(store, firm).id != _sign_in(store, other).id
    assert store.people.by_login(other.id, "Ana").id == other.installer.id
    assert store.people.by_login(firm.id, "nobody") is None


def test_a_session_lives_on_the_server_and_ends_there(store, firm):
    token, session = store.sessions.start(firm.id, firm.installer.id, "phone\n")
    assert store.sessions.find(token) == session
    assert session.device == "phone"
    store.sessions.end(token)
    store.sessions.end(token)
    assert store.sessions.find(token) is None
    assert store.sessions.all_for(firm.id, firm.installer.id)[0].ended_at is not None


def test_sessions_expire_by_role_or_as_told(store, firm):
    token, _ = store.sessions.start(firm.id, firm.installer.id, now=NOON)
    assert store.sessions.find(token, NOON + timedelta(days=30, seconds=-1))
    assert store.sessions.find(token, NOON + timedelta(days=30)) is None
    token, _ = store.sessions.start(firm.id, firm.office.id, now=NOON)
    assert store.sessions.find(token, NOON + timedelta(hours=12)) is None
    token, _ = store.sessions.start(firm.id, firm.office.id, lifetime_s=60, now=NOON)
    assert store.sessions.find(token, NOON + timedelta(seconds=60)) is None


def test_last_seen_is_noted_at_most_once_a_minute(store, firm):
    token, _ = store.sessions.start(firm.id, firm.installer.id, now=NOON)
    for seconds, seen in ((59, "12:00:00"), (60, "12:01:00"), (90, "12:01:00"), (121, "12:02:01")):
        store.sessions.find(token, NOON + timedelta(seconds=seconds))
        assert store.sessions.all_for(firm.id, firm.installer.id)[0].last_seen_at == f"2026-03-14T{seen}Z"


def test_tokens_are_256_bits_and_only_their_hash_is_kept(store, firm, folder):
    tokens = [store.sessions.start(firm.id, firm.installer.id)[0] for _ in range(5)]
    assert {len(token) for token in tokens} == {43}
    kept = b"".join(path.read_bytes() for path in folder.iterdir())
    assert not any(token.encode() in kept for token in tokens)
    for token in ("", "x", "\0", "\ud800", "x" * 10**7):
        assert store.sessions.find(token) is None


@pytest.mark.parametrize(
    "act",
    [
        lambda store, firm: store.people.save(firm.id, firm.installer.id, disabled=True),
        lambda store, firm: store.people.save(firm.id, firm.installer.id, role="office"),
        lambda store, firm: store.people.set_password(firm.id, firm.installer.id, "a new password"),
        lambda store, firm: store.sessions.end_all(firm.id, firm.installer.id),
        lambda store, firm: store.sessions.end_by_id(firm.id, 1),
    ],
    ids=["disabled", "role", "password", "all", "one"],
)
def test_what_ends_sessions(store, firm, act):
    token, _ = store.sessions.start(firm.id, firm.installer.id)
    act(store, firm)
    assert store.sessions.find(token) is None


def test_the_disabled_are_out_and_stay_out(store, firm):
    store.people.save(firm.id, firm.installer.id, disabled=True)
    with pytest.raises(WrongPassword):
        _sign_in(store, firm)
    with pytest.raises(NotFound):
        store.sessions.start(firm.id, firm.installer.id)
    store.people.save(firm.id, firm.installer.id, disabled=False)
    assert _sign_in(store, firm)


def test_guessing_a_login_slows_down_and_then_stops(store, firm):
    now, waits = NOON, []
    for _ in range(10):
        with pytest.raises(WrongPassword):
            _sign_in(store, firm, WRONG, now=now)
        with store.database.read() as connection:
            login = tables.throttle.c.kind == "login"
            until = connection.execute(select(tables.throttle.c.blocked_until).where(login)).scalar_one()
        waits.append(until - int(now.timestamp()))
        if waits[-1]:
            with pytest.raises(TooManyTries) as refusal:
                _sign_in(store, firm, now=now + timedelta(seconds=waits[-1] - 1))
            assert refusal.value.wait_s == 1
        now += timedelta(seconds=waits[-1])
    assert waits == [0, 0, 0, 1, 2, 4, 8, 16, 32, 900]


def test_while_stopped_even_the_right_password_waits_and_is_not_tried(store, firm):
    for at in range(10):
        with pytest.raises(WrongPassword):
            _sign_in(store, firm, WRONG, now=NOON + timedelta(minutes=at))
    with pytest.raises(TooManyTries) as refusal:
        _sign_in(store, firm, now=NOON + timedelta(minutes=10))
    assert refusal.value.wait_s == 14 * 60
    assert _sign_in(store, firm, now=NOON + timedelta(minutes=24)) == firm.installer
    assert _sign_in(store, firm, now=NOON + timedelta(minutes=24)) == firm.installer


def test_guessing_many_names_from_one_address_stops_too(store, firm):
    for at in range(11):
        with pytest.raises(WrongPassword):
            _sign_in(store, firm, WRONG, login=f"name{at}")
    with pytest.raises(TooManyTries):
        _sign_in(store, firm)
    assert _sign_in(store, firm, address="192.0.2.8") == firm.installer


def test_addresses_of_one_household_count_together(store, firm):
    for at in range(11):
        store.throttle.attempt(firm.id, [("check", f"2001:db8:0:7::{at:x}")], NOON)
    with pytest.raises(TooManyTries):
        store.throttle.attempt(firm.id, [("check", "2001:db8:0:7:ffff::1")], NOON)
    store.throttle.attempt(firm.id, [("check", "2001:db8:0:8::1")], NOON)


def test_a_success_clears_the_login_and_takes_back_one_try_of_the_address(store, firm):
    for _ in range(3):
        with pytest.raises(WrongPassword):
            _sign_in(store, firm, WRONG)
    _sign_in(store, firm)
    for _ in range(3):
        with pytest.raises(WrongPassword):
            _sign_in(store, firm, WRONG)
    with store.database.read() as connection:
        failures = dict(connection.execute(select(tables.throttle.c.kind, tables.throttle.c.failures)).all())
    assert failures == {"login": 3, "address": 6}


def test_guesses_sent_at_once_do_not_slip_past_the_count(store, firm):
    outcomes = []

    def guess():
        try:
            _sign_in(store, firm, WRONG)
        except (WrongPassword, TooManyTries) as refusal:
            outcomes.append(type(refusal))

    threads = [threading.Thread(target=guess) for _ in range(12)]
    for thread in threads:
        thread.start()
    for thread in threads:
        thread.join()
    assert outcomes.count(WrongPassword) == 4
    assert outcomes.count(TooManyTries) == 8


def test_one_firm_s_guesses_do_not_slow_another(store, firm, other):
    for _ in range(4):
        with pytest.raises(WrongPassword):
            _sign_in(store, firm, WRONG)
    assert _sign_in(store, other)


def test_old_failures_are_forgotten(store, firm):
    for at in range(30):
        store.throttle.attempt(firm.id, [("login", f"name{at}")], NOON)
    store.throttle.attempt(firm.id, [("login", "fresh")], NOON + timedelta(days=2))
    with store.database.read() as connection:
        assert len(connection.execute(select(tables.throttle)).all()) == 1


def test_delays_grow_and_are_bounded():
    delays = [delay_s("address", failures) for failures in range(41)]
    assert delays == sorted(delays)
    assert (delays[10], delays[11], delays[39], delays[40]) == (0, 1, 64, 900)
    with pytest.raises(KeyError):
        delay_s("other", 1)


def test_an_unknown_kind_of_throttle_is_refused(store, firm):
    with pytest.raises(Invalid):
        store.throttle.attempt(firm.id, [("other", "x")], NOON)
