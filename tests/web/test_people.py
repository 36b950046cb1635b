"""The owner's page of people, and the invitation that makes one: once, by its link, for seven days."""

from __future__ import annotations

import json
import re
from datetime import timedelta
from typing import Any

import pytest
from bs4 import BeautifulSoup
from sqlalchemy import select

from heaterapp.archive import office_tables

from .conftest import PASSWORD

NEW = {"login": "NewOne", "password": "walnut-spanner-81"}


def invited(owner: Any, **different: str) -> str:
    """Invite somebody through the page; the path of the link that it shows."""
    fields = {"person_name": "New One", "role": "office", "person_licence": "P-9", **different}
    page = owner.post("/office/people/invites", fields)
    assert page.status_code == 200, page.text
    link = BeautifulSoup(page.text, "html.parser").find("a", class_="whole")["href"]
    assert "<svg" in page.text
    return str(re.sub(r"https?://[^/]+", "", link))


def acts(store: Any, act: str) -> list[dict[str, Any]]:
    return [json.loads(entry.body) for entry in store.log.entries(1, limit=1000) if entry.act == act]


def test_the_link_is_shown_once_and_makes_one_person_once(visit: Any, store: Any) -> None:
    owner, somebody = visit("owner"), visit()
    path = invited(owner)
    token = path.rpartition("/")[2]
    assert len(token) == 32, "192 bits"
    assert token not in owner.get("/office/people").text
    with store.database.read() as connection:
        assert token not in str(connection.execute(select(office_tables.invite)).all())
    page = somebody.get(path)
    assert "New One, you are invited as office, license P-9." in page.text
    assert page.headers["Cache-Control"] == "no-store"
    assert somebody.post(path, NEW).location == "/account?said=joined"
    assert somebody.get("/office").status_code == 200
    person = store.people.by_login(1, "newone")
    assert (person.name, person.role, person.licence) == ("New One", "office", "P-9")
    assert visit().post(path, {**NEW, "login": "another"}).status_code == 404
    assert visit().post("/sign-in", NEW).status_code == 303
    assert [one["what"] for one in acts(store, "invite")] == ["made", "used"]
    assert "New One" not in str(store.log.entries(1, limit=1000))
    assert "newone" not in str(store.log.entries(1, limit=1000)).lower()


def test_dead_links_and_no_link_look_alike(visit: Any, store: Any, people: Any) -> None:
    owner, me = visit("owner"), people["a", "owner"].id
    used, closed = invited(owner), invited(owner)
    visit().post(used, NEW)
    number = next(one.id for one in store.invites.waiting(1))
    assert owner.post(f"/office/people/invites/{number}").status_code == 303
    late, _ = store.invites.make(1, me, "Late", "office", now=store.database.clock() - timedelta(days=7))
    just, _ = store.invites.make(1, me, "Just", "office", now=store.database.clock() - timedelta(days=6, hours=23))
    assert visit().get(f"/invite/{just}").status_code == 200
    pages = [visit().get(path) for path in (used, closed, f"/invite/{late}", "/invite/" + "A" * 32, "/invite/x")]
    assert {page.status_code for page in pages} == {404}
    # The link to another language comes back to the address that was asked for.
    texts = {re.sub(r'(value|content)="([^"]{40,}|/invite/[^"]+)"', "", page.text) for page in pages}
    assert len(texts) == 1
    posted = visit().post(closed, NEW)
    assert posted.status_code == 404
    assert store.people.by_login(1, "another") is None


@pytest.mark.usefixtures("stopped_clock")
def test_guessing_links_slows_down_then_stops_even_for_a_good_one(visit: Any, store: Any) -> None:
    path, guesser = invited(visit("owner")), visit()
    codes = [guesser.get(f"/invite/{at:032}").status_code for at in range(12)]
    assert codes[:10] == [404] * 10
    assert 429 in codes
    assert guesser.get(path).status_code == 429
    # Good ones in between take back only themselves.
    with store.database.write() as connection:
        from sqlalchemy import update

        from heaterapp.archive import tables

        connection.execute(update(tables.throttle).values(blocked_until=0))
    for _ in range(3):
        guesser.get(path)
    with store.database.read() as connection:
        kinds = dict(connection.execute(select(tables.throttle.c.kind, tables.throttle.c.failures)).all())
    assert kinds["invite"] >= 10


def test_a_name_that_is_taken_is_said_and_the_link_stays_good(visit: Any) -> None:
    path = invited(visit("owner"))
    taken = visit().post(path, {**NEW, "login": "Office"})
    page = BeautifulSoup(taken.text, "html.parser")
    assert taken.status_code == 400
    assert "Sign-in name: a name nobody here has." in page.find(class_="error-summary").text
    assert page.find(id="login")["value"] == "Office"
    for weak in ("short", "Password2026!", "NewOne-2026"):
        assert visit().post(path, {**NEW, "password": weak}).status_code == 400
    assert visit().post(path, NEW).status_code == 303


def test_roles_change_and_the_sessions_end(visit: Any, store: Any, people: Any) -> None:
    owner, clerk = visit("owner"), visit("office")
    there = f"/office/people/{people['a', 'office'].id}"
    assert clerk.get("/office").status_code == 200
    assert owner.post(there, {"act": "role", "role": "installer"}).status_code == 303
    assert clerk.get("/office").status_code == 302
    assert visit("office").get("/jobs").status_code == 200
    person = people["a", "office"].id
    assert acts(store, "person") == [{"person": person, "what": "role", "from": "office", "to": "installer"}]
    for odd in ("emperor", "", "owner,office"):
        assert owner.post(there, {"act": "role", "role": odd}).status_code == 400


def test_the_last_owner_stays_owner_and_open(visit: Any, store: Any, people: Any) -> None:
    owner, me = visit("owner"), people["a", "owner"].id
    refused = owner.post(f"/office/people/{me}", {"act": "role", "role": "office"})
    assert refused.status_code == 400
    assert "Somebody else who is owner" in refused.text
    assert owner.post(f"/office/people/{me}", {"act": "close"}).status_code == 400
    second = store.people.add(1, "second", "Second Owner", "owner", PASSWORD)
    assert owner.post(f"/office/people/{me}", {"act": "role", "role": "office"}).status_code == 303
    assert owner.get("/office/people").status_code == 302, "the own session ended with the role"
    assert store.people.get(1, me).role == "office"
    with pytest.raises(Exception, match="another owner"):
        store.people.save(1, second.id, disabled=True)
    assert not store.people.get(1, second.id).disabled


def test_the_owner_closes_an_account_but_not_the_own_one(visit: Any, people: Any, store: Any) -> None:
    owner, installer = visit("owner"), visit("installer")
    there = f"/office/people/{people['a', 'installer'].id}"
    assert installer.get("/jobs").status_code == 200
    assert owner.post(there, {"act": "close"}).status_code == 303
    assert installer.get("/jobs").status_code == 302
    assert owner.post(there, {"act": "open"}).status_code == 303
    assert installer.get("/jobs").status_code == 302, "what was ended stays ended"
    assert owner.post(there, {"act": "promote"}).status_code == 400
    assert owner.post("/office/people/0", {"act": "close"}).status_code == 404
    assert owner.post("/office/people/" + "9" * 40, {"act": "close"}).status_code == 404
    assert [one["what"] for one in acts(store, "person")] == ["closed", "opened"]


def test_a_new_password_ends_the_old_sessions(visit: Any, people: Any, store: Any) -> None:
    owner, clerk = visit("owner"), visit("office")
    number = people["a", "office"].id
    weak = owner.post(f"/office/people/{number}", {"act": "password", "password": "1234567890"})
    assert weak.status_code == 400
    assert f'href="#password-{number}"' in weak.text
    assert clerk.get("/office").status_code == 200
    owner.post(f"/office/people/{number}", {"act": "password", "password": "walnut-spanner-81"})
    assert clerk.get("/office").status_code == 302
    assert visit().post("/sign-in", {"login": "office", "password": PASSWORD}).status_code == 401
    assert visit().post("/sign-in", {"login": "office", "password": "walnut-spanner-81"}).status_code == 303
    assert acts(store, "person") == [{"person": number, "what": "password"}]


def test_name_and_license_are_mended_and_named_when_they_cannot_be(visit: Any, people: Any, store: Any) -> None:
    owner, number = visit("owner"), people["a", "installer"].id
    there = f"/office/people/{number}"
    assert owner.post(there, {"act": "facts", "name": "Riley Okafor", "licence": "J-20417"}).status_code == 303
    assert store.people.get(1, number).name == "Riley Okafor"
    wrong = owner.post(there, {"act": "facts", "name": "", "licence": "typed license"})
    assert wrong.status_code == 400
    assert f'href="#name-{number}"' in wrong.text
    assert 'value="typed license"' in wrong.text
    long = owner.post(there, {"act": "facts", "name": "Riley", "licence": "9" * 101})
    assert f'href="#licence-{number}"' in long.text
    assert "9" * 101 in long.text
    assert store.people.get(1, number).licence == "J-20417"
    assert acts(store, "person") == [{"person": number, "what": "facts"}]


def test_the_owner_sees_every_device_and_signs_any_out(visit: Any, store: Any, people: Any) -> None:
    owner, installer = visit("owner"), visit("installer")
    phone = "Mozilla/5.0 (Linux; Android 15) AppleWebKit/537.36 Chrome/140.0 Mobile Safari/537.36"
    token, session = store.sessions.start(1, people["a", "installer"].id, phone)
    page = owner.get("/office/people").text
    assert "Chrome on Android" in page
    assert "this one" in page
    assert owner.post(f"/office/people/devices/{session.id}").status_code == 303
    assert store.sessions.find(token) is None
    assert installer.get("/jobs").status_code == 200, "another device of the same person stays"
    assert acts(store, "person") == [{"person": people["a", "installer"].id, "what": "signed_out"}]
    assert visit("owner", firm="b").post(f"/office/people/devices/{session.id}").status_code == 404


def test_an_invitation_that_is_taken_up_twice_at_once_makes_one_person(store: Any, people: Any) -> None:
    import threading

    token, _ = store.invites.make(1, people["a", "owner"].id, "New One", "office")
    made: list[Any] = []

    def take(at: int) -> None:
        try:
            made.append(store.invites.take(token, f"new{at}", "walnut-spanner-81").login)
        except Exception as refused:
            made.append(type(refused).__name__)

    threads = [threading.Thread(target=take, args=(at,)) for at in range(4)]
    for thread in threads:
        thread.start()
    for thread in threads:
        thread.join()
    assert sorted(name for name in made if name == "NotFound") == ["NotFound"] * 3, made
