"""A passkey wants a fresh proof of who adds it, and goes with the password it stood beside."""

from __future__ import annotations

import re
from datetime import timedelta
from typing import Any

import pytest

from .conftest import PASSWORD
from .passkey_of_code import Key, keep, refused, sign_in


@pytest.fixture
def key(visit: Any) -> Key:
    """The passkey of the first firm's office."""
    made = Key()
    assert keep(visit("office"), made).json == {"to": "/account?said=passkey"}
    return made


@pytest.fixture
def later(store: Any, monkeypatch: Any) -> Any:
    """Eleven minutes after whoever is signed in by then."""

    def pass_by() -> None:
        now = store.database.clock()
        monkeypatch.setattr(store.database, "clock", lambda: now + timedelta(minutes=11))

    return pass_by


def test_a_passkey_is_added_by_who_signed_in_just_now_or_gives_the_password(visit: Any, store: Any, later: Any) -> None:
    clerk, path = visit("office"), "/account/passkeys/options"
    asks = re.compile(r"<div data-present>.*?keep-present", re.S)
    assert not asks.search(clerk.get("/account").text)
    later()
    assert asks.search(clerk.get("/account").text)
    for body in ({}, {"present": ""}, {"present": 5}, {"present": [PASSWORD]}, {"present": "a wrong guess"}, []):
        answer = clerk.post_json(path, body)
        assert answer.status_code == 403, body
        assert answer.json["error"].startswith("Present password: ")
    made = Key().made({"user": {"id": "MQ"}, "challenge": "AAAA"})
    assert clerk.post_json("/account/passkeys", made).status_code == 400, "no challenge without proof"
    fresh = Key(b"by password")
    options = clerk.post_json(path, {"present": PASSWORD}).json
    assert clerk.post_json("/account/passkeys", fresh.made(options)).status_code == 200
    codes = [clerk.post_json(path, {"present": "a wrong guess"}).status_code for _ in range(5)]
    assert codes == [403, 403, 403, 403, 429], "guesses count"
    assert keep(visit("owner"), Key(b"just in")).status_code == 200


def test_a_new_password_of_one_s_own_offers_to_remove_the_passkeys(visit: Any, key: Key, store: Any, people: Any) -> None:
    clerk, mine = visit("office"), people["a", "office"].id
    box = re.search(r'<input id="passkeys"[^>]*>', clerk.get("/account").text)
    assert box
    assert "checked" in box.group(0)
    assert 'id="passkeys"' not in visit("installer").get("/account").text
    sent = {"present": PASSWORD, "fresh": "walnut-spanner-81"}
    refused_page = clerk.post("/account/password", {**sent, "present": "not it"}).text
    assert "checked" not in re.search(r'<input id="passkeys"[^>]*>', refused_page).group(0), "as it was left"
    assert clerk.post("/account/password", sent).location == "/account?said=password"
    assert len(store.passkeys.all_for(1, mine)) == 1
    sent = {"present": "walnut-spanner-81", "fresh": "walnut-spanner-82", "passkeys": "remove"}
    assert clerk.post("/account/password", sent).location == "/account?said=all-new"
    assert store.passkeys.all_for(1, mine) == []
    assert refused(sign_in(visit(), key))


def test_an_owner_s_reset_of_a_password_removes_the_passkeys(visit: Any, key: Key, store: Any, people: Any) -> None:
    path, sent = f"/office/people/{people['a', 'office'].id}", {"act": "password", "password": "walnut-spanner-81"}
    assert visit("owner").post(path, sent).status_code == 303
    assert refused(sign_in(visit(), key))


def test_a_password_set_while_a_sign_in_is_looked_at_ends_that_sign_in(visit: Any, key: Key, store: Any, people: Any, monkeypatch: Any) -> None:
    clerk, begun = people["a", "office"], store.sessions.start

    def too_late(*args: Any, **named: Any) -> Any:
        monkeypatch.setattr(store.sessions, "start", begun)
        store.people.set_password(1, clerk.id, "walnut-spanner-81")
        return begun(*args, **named)

    somebody = visit()
    monkeypatch.setattr(store.sessions, "start", too_late)
    answer = somebody.post("/sign-in", {"login": "office", "password": PASSWORD})
    assert answer.status_code == 401
    assert "do not go together" in answer.text
    assert keep(visit("office"), key).status_code == 200
    monkeypatch.setattr(store.sessions, "start", too_late)
    store.people.set_password(1, clerk.id, "walnut-spanner-82", keep_passkeys=True)
    assert refused(sign_in(somebody, key))
    assert store.sessions.live(1, clerk.id) == []
