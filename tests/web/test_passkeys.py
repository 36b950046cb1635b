"""Passkeys, by an authenticator made of code: kept, signed in with, and every way that is refused."""

from __future__ import annotations

import json
import re
from datetime import timedelta
from typing import Any

import pytest
from webauthn.helpers import base64url_to_bytes, bytes_to_base64url

from .passkey_of_code import PLACE, USER_PRESENT, USER_VERIFIED, Key, ask, keep, refused, sign_in


@pytest.fixture
def key(visit: Any) -> Key:
    """The passkey of the first firm's office."""
    made = Key()
    assert keep(visit("office"), made).json == {"to": "/account?said=passkey"}
    return made


def test_a_passkey_signs_in_again_and_again_and_its_count_is_kept(visit: Any, key: Key, store: Any, people: Any) -> None:
    for count in (1, 2):
        somebody = visit()
        answer = sign_in(somebody, key)
        assert answer.json == {"to": "/office"}
        assert somebody.get("/account").status_code == 200
        assert store.passkeys.all_for(1, people["a", "office"].id)[0].sign_count == count
    page = visit("office").get("/account").text
    assert "last used" in page


def test_what_the_browser_is_asked_is_bound_to_this_site_and_wants_the_person(visit: Any, key: Key) -> None:
    options = ask(visit("office"), "/account/passkeys/options")
    assert options["rp"]["id"] == PLACE
    assert options["authenticatorSelection"]["userVerification"] == "required"
    assert options["authenticatorSelection"]["residentKey"] == "required"
    assert options["excludeCredentials"] == [{"id": bytes_to_base64url(key.id), "type": "public-key"}]
    asked = ask(visit(), "/sign-in/passkey/options")
    assert asked["userVerification"] == "required"
    assert asked.get("allowCredentials", []) == [], "who has an account is not told"
    assert len(base64url_to_bytes(asked["challenge"])) == 32


def test_an_answer_counts_for_one_challenge_one_visitor_and_once(visit: Any, key: Key, store: Any, monkeypatch: Any) -> None:
    somebody = visit()
    first = ask(somebody, "/sign-in/passkey/options")
    ask(somebody, "/sign-in/passkey/options")
    assert refused(somebody.post_json("/sign-in/passkey", key.answer(first))), "a newer challenge stands"
    assert refused(somebody.post_json("/sign-in/passkey", key.answer(first))), "none stands any more"
    mine = ask(visit(), "/sign-in/passkey/options")
    assert refused(sign_in_with(visit(), key.answer(mine))), "another visitor's challenge"
    with somebody.client.session_transaction() as session:
        assert "passkey_challenge" not in session
    options = ask(somebody, "/sign-in/passkey/options")
    with somebody.client.session_transaction() as session:
        copied = dict(session)
    answered = key.answer(options)
    assert somebody.post_json("/sign-in/passkey", answered).status_code == 200
    thief = visit()
    with thief.client.session_transaction() as session:
        session.update(copied)
    key.count += 1
    assert refused(thief.post_json("/sign-in/passkey", answered)), "the cookie copied and the answer sent again"
    with thief.client.session_transaction() as session:
        session.update(copied)
    assert refused(thief.post_json("/sign-in/passkey", key.answer(options))), "a fresh answer to a spent challenge"
    calm(store)
    late = visit()
    options = ask(late, "/sign-in/passkey/options")
    now = store.database.clock()
    monkeypatch.setattr(store.database, "clock", lambda: now + timedelta(minutes=6))
    assert refused(late.post_json("/sign-in/passkey", key.answer(options))), "older than five minutes"


def sign_in_with(visitor: Any, answer: dict[str, Any]) -> Any:
    ask(visitor, "/sign-in/passkey/options")
    return visitor.post_json("/sign-in/passkey", answer)


def calm(store: Any) -> None:
    from sqlalchemy import delete

    from heaterapp.archive import tables

    with store.database.write() as connection:
        connection.execute(delete(tables.throttle))


def test_what_another_made_signs_nobody_in(visit: Any, key: Key, store: Any) -> None:
    forged = Key()
    forged.handle = key.handle
    assert refused(sign_in(visit(), forged)), "another secret under this name"
    stranger = Key(b"never kept")
    assert refused(sign_in(visit(), stranger)), "a passkey nobody keeps"
    owners = Key(b"the owner's")
    assert keep(visit("owner"), owners).status_code == 200
    owners.handle = key.handle
    assert refused(sign_in(visit(), owners)), "the owner's passkey that says it is the clerk's"
    assert refused(sign_in(visit(), key, id=bytes_to_base64url(owners.id))), "one passkey under another's name"
    calm(store)
    again = keep(visit("owner"), key)
    assert again.status_code == 400, "nobody keeps what another has"
    assert "one that is not kept here yet" in again.json["error"]


@pytest.mark.parametrize(
    "wrong",
    [
        {"origin": "https://localhost"}, {"origin": "http://localhost.elsewhere.example"}, {"place": "elsewhere.example"},
        {"flags": USER_PRESENT}, {"flags": USER_VERIFIED}, {"count": -1},
    ],
    ids=str,
)  # fmt: skip
def test_another_site_no_person_or_an_older_count_is_refused(visit: Any, key: Key, wrong: dict[str, Any]) -> None:
    assert sign_in(visit(), key).status_code == 200
    for name, value in wrong.items():
        setattr(key, name, value)
    somebody = visit()
    assert refused(sign_in(somebody, key))
    assert somebody.get("/account").status_code == 302
    if "count" not in wrong:
        fresh = Key(b"fresh")
        for name, value in wrong.items():
            setattr(fresh, name, value)
        answer = keep(visit("installer"), fresh)
        assert (answer.status_code, answer.json) == (400, {"error": "The passkey was not kept. Try again."})


def test_a_challenge_to_keep_is_of_its_person_and_no_challenge_to_sign_in(visit: Any, key: Key) -> None:
    clerk, fresh = visit("office"), Key(b"fresh")
    made = fresh.made(ask(clerk, "/account/passkeys/options"))
    owner = visit("owner")
    with clerk.client.session_transaction() as held, owner.client.session_transaction() as copied:
        copied["passkey_challenge"] = held["passkey_challenge"]
    assert owner.post_json("/account/passkeys", made).status_code == 400, "asked for by another person"
    assert clerk.post_json("/account/passkeys", made).status_code == 200
    assert clerk.post_json("/account/passkeys", made).status_code == 400, "twice"
    somebody = visit("office")
    options = ask(somebody, "/account/passkeys/options")
    assert refused(somebody.post_json("/sign-in/passkey", key.answer(options)))


@pytest.mark.usefixtures("stopped_clock")
def test_guessing_slows_down_by_passkey_and_by_address(visit: Any, key: Key, store: Any) -> None:
    forged = Key()
    codes = [sign_in(visit(), forged).status_code for _ in range(5)]
    assert codes == [401, 401, 401, 401, 429]
    assert sign_in(visit(), key).status_code == 429, "this passkey waits"
    other = Key(b"the owner's")
    assert keep(visit("owner"), other).status_code == 200
    assert sign_in(visit(), other).status_code == 200, "another one does not"
    assert sign_in(visit(), key).status_code == 429, "and its success takes nothing back from the guesser"
    calm(store)
    codes = [sign_in(visit(), Key(bytes([at]))).status_code for at in range(12)]
    assert codes[:11] == [401] * 11
    assert codes[-1] == 429


def test_a_removed_passkey_and_a_closed_person_sign_in_no_more(visit: Any, key: Key, store: Any, people: Any) -> None:
    clerk = people["a", "office"]
    number = store.passkeys.all_for(1, clerk.id)[0].id
    assert visit("owner").post(f"/account/passkeys/{number}/remove").status_code == 404
    store.people.save(1, clerk.id, disabled=True)
    assert refused(sign_in(visit(), key))
    store.people.save(1, clerk.id, disabled=False)
    assert sign_in(visit(), key).status_code == 200
    assert visit("office").post(f"/account/passkeys/{number}/remove").location == "/account?said=removed"
    assert refused(sign_in(visit(), key))
    acts = [json.loads(one.body) for one in store.log.entries(1, limit=1000) if one.act == "passkey"]
    assert [one["what"] for one in acts] == ["added", "removed"]


def test_the_owner_removes_somebody_s_passkeys(visit: Any, key: Key, store: Any, people: Any) -> None:
    assert "Remove the passkey of" in visit("owner").get("/office/people").text
    answer = visit("owner").post(f"/office/people/{people['a', 'office'].id}", {"act": "passkeys"})
    assert answer.status_code == 303
    assert refused(sign_in(visit(), key))


def test_nonsense_is_refused_and_breaks_nothing(visit: Any, key: Key, store: Any) -> None:
    good = key.answer(ask(visit(), "/sign-in/passkey/options"))
    odd: list[Any] = [None, [], "x", 5, {}, {"id": 5}, {"id": good["id"]}, {**good, "response": 5}]
    odd += [{**good, "response": {**good["response"], name: value}} for name in good["response"] for value in ("", "!", 5, "A" * 5000, None)]
    odd += [{**good, "type": "other"}, {**good, "rawId": "AAAA"}, {**good, "id": "x" * 5000}]
    for one in odd:
        calm(store)
        assert sign_in_with(visit(), one).status_code in (400, 401), one
        somebody = visit("installer")
        ask(somebody, "/account/passkeys/options")
        assert somebody.post_json("/account/passkeys", one).status_code == 400, one
    assert len(store.passkeys.all_for(1, 1)) == 0


@pytest.mark.parametrize(
    ("address", "shown"),
    [("http://localhost", True), ("http://127.0.0.1", False), ("https://papers.example.com", True), ("http://papers.example.com", False), ("https://[::1]", False)],
)
def test_the_button_stands_only_where_an_address_can_have_passkeys(app: Any, visit: Any, address: str, shown: bool) -> None:
    app.config["PUBLIC_URL"] = address
    for page in (visit().get("/sign-in").text, visit("office").get("/account").text):
        assert ("passkey.js" in page) is shown
        assert re.search(r"<div [^>]*data-passkey=[^>]* hidden>", page) or not shown, "without script it does not show"
