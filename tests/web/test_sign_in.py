"""Signing in and out: one sentence for every wrong guess, a slow-down, an end on the server."""

from __future__ import annotations

from typing import Any

import pytest
from bs4 import BeautifulSoup

from .conftest import PASSWORD

WRONG = "That sign-in name and password do not go together."


def signed_in(visitor: Any) -> bool:
    return visitor.get("/jobs/none-such").status_code != 302 and visitor.get("/office").status_code != 302


@pytest.mark.parametrize(
    ("role", "first"), [("installer", "/jobs"), ("office", "/office"), ("owner", "/office")]
)
def test_each_role_comes_to_its_own_first_page(visit: Any, role: str, first: str) -> None:
    somebody = visit()
    answer = somebody.post("/sign-in", {"login": role, "password": PASSWORD})
    assert (answer.status_code, answer.location) == (303, first)
    assert somebody.get("/").location == first
    assert somebody.get("/sign-in").location == "/"


@pytest.mark.parametrize(
    "typed",
    [
        {"login": "office", "password": "not this one"},
        {"login": "nobody", "password": PASSWORD},
        {"login": "office", "password": PASSWORD, "firm": "no-such-firm"},
        {"login": "office'--", "password": "' or 1=1"},
        {"login": "office\x00", "password": PASSWORD},
        {"login": "оffice", "password": PASSWORD},
    ],
)
def test_every_wrong_guess_gets_the_same_answer(visit: Any, typed: dict[str, str]) -> None:
    answer = visit().post("/sign-in", typed)
    page = BeautifulSoup(answer.text, "html.parser")
    assert answer.status_code == 401
    assert WRONG in page.find(class_="error-summary").text
    assert page.title.text.startswith("Error: ")
    assert page.find(id="login")["value"] == typed["login"].replace("\x00", "\x00")
    assert not page.find(id="password").get("value")


def test_a_closed_account_gets_the_same_answer_and_its_session_ends(
    visit: Any, store: Any, people: Any
) -> None:
    here = visit("office")
    assert here.get("/office").status_code == 200
    person = people["a", "office"]
    store.people.save(person.organisation, person.id, disabled=True)
    assert here.get("/office").status_code == 302
    answer = visit().post("/sign-in", {"login": "office", "password": PASSWORD})
    assert answer.status_code == 401
    assert WRONG in answer.text


@pytest.mark.parametrize(
    "typed",
    [
        {},
        {"login": "office"},
        {"password": PASSWORD},
        {"login": "", "password": ""},
        {"login": "x" * 101, "password": PASSWORD},
        {"login": "office", "password": "x" * 257},
    ],
)
def test_what_is_missing_or_too_long_is_named(visit: Any, typed: dict[str, str]) -> None:
    answer = visit().post("/sign-in", typed)
    assert answer.status_code == 400
    assert BeautifulSoup(answer.text, "html.parser").find(class_="error-summary").li.text


@pytest.mark.usefixtures("stopped_clock")
def test_guessing_slows_down_and_then_stops_for_the_right_password_too(visit: Any) -> None:
    somebody = visit()
    answers = [somebody.post("/sign-in", {"login": "office", "password": "wrong guess"}) for _ in range(6)]
    assert [answer.status_code for answer in answers[:4]] == [401] * 4
    stopped = next(answer for answer in answers if answer.status_code == 429)
    assert int(stopped.headers["Retry-After"]) >= 1
    assert "Too many tries. Wait " in stopped.text
    assert somebody.post("/sign-in", {"login": "office", "password": PASSWORD}).status_code == 429


def test_somebody_of_another_firm_signs_in_by_its_short_name(visit: Any) -> None:
    somebody = visit()
    assert 'name="firm" value="saltmarsh"' in somebody.get("/sign-in?firm=saltmarsh").text
    somebody.post("/sign-in", {"login": "owner", "password": PASSWORD, "firm": "saltmarsh"})
    assert "Saltmarsh Heating" in somebody.get("/office").text


@pytest.mark.parametrize(
    ("wanted", "led_to"),
    [
        ("/office?q=oak", "/office?q=oak"),
        ("/office/records/C-000001", "/office/records/C-000001"),
        ("//elsewhere.example/x", "/office"),
        ("https://elsewhere.example", "/office"),
        ("/\\elsewhere.example", "/office"),
        ("/%0d%0aSet-Cookie:x", "/%0d%0aSet-Cookie:x"),
        ("/\r\nSet-Cookie: x=1", "/office"),
        ("javascript:alert(1)", "/office"),
        ("/" + "x" * 600, "/office"),
        ("", "/office"),
    ],
)
def test_only_a_path_of_our_own_is_gone_back_to(visit: Any, wanted: str, led_to: str) -> None:
    answer = visit().post(
        "/sign-in", {"login": "office", "password": PASSWORD}, query_string={"next": wanted}
    )
    assert answer.location == led_to
    assert visit("office").get("/sign-in", query_string={"next": wanted}).location in {led_to, "/"}


def test_a_page_asked_for_without_a_sign_in_comes_after_it(visit: Any) -> None:
    answer = visit().get("/office?q=oak")
    assert answer.location == "/sign-in?next=/office?q%3Doak"


def test_a_form_sent_too_late_leads_back_to_a_page(visit: Any) -> None:
    somebody = visit()
    assert somebody.post("/office/firm").location == "/sign-in?next=/office/firm"
    assert somebody.post("/jobs/x/accept").location == "/sign-in?next=/"


def test_signing_out_ends_the_session_on_the_server(visit: Any, app: Any) -> None:
    here = visit("office")
    with here.client.session_transaction() as session:
        stolen = session["token"]
    assert here.post("/sign-out").location == "/sign-in?left=1"
    assert here.get("/office").status_code == 302
    other = visit()
    with other.client.session_transaction() as session:
        session["token"] = stolen
    assert other.get("/office").status_code == 302


def test_signing_in_takes_a_fresh_token_and_a_fresh_form_secret(visit: Any) -> None:
    somebody = visit()
    with somebody.client.session_transaction() as session:
        session["token"] = "planted-by-somebody-else"
    old_secret = somebody.secret()
    somebody.client.post("/sign-in", data={"login": "office", "password": PASSWORD, "csrf_token": old_secret})
    with somebody.client.session_transaction() as session:
        assert session["token"] != "planted-by-somebody-else"
    answer = somebody.client.post("/sign-out", data={"csrf_token": old_secret})
    assert answer.status_code == 400


def test_the_session_cookie_is_out_of_reach_of_scripts(visit: Any) -> None:
    somebody = visit()
    answer = somebody.post("/sign-in", {"login": "office", "password": PASSWORD})
    cookie = answer.headers["Set-Cookie"]
    assert "HttpOnly" in cookie
    assert "SameSite=Lax" in cookie
