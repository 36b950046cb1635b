"""A sign-in that ends in the middle of the work: what was typed comes through the sign-in, to the same person only."""

from __future__ import annotations

import html
import re
from collections.abc import Callable
from typing import Any

import pytest

from tests.web.conftest import PASSWORD, hidden

Fields = list[tuple[str, str]]


def _end(visitor: Any, how: str) -> None:
    """End the sign-in on the server alone, or with the browser's cookie, as signing out in another tab does."""
    with visitor.client.session_transaction() as session:
        visitor.app.extensions["archive"].sessions.end(session["token"])
        if how == "signed out elsewhere":
            session.clear()


def _typed(page: str, **answers: str) -> dict[str, str]:
    kept = {name: hidden(page, name) for name in ("csrf_token", "whose", "revision", "seen")}
    return {**kept, **answers, "go": "next"}


def _sign_in(visitor: Any, page: str, login: str = "installer", password: str = PASSWORD) -> Any:
    fields = {name: hidden(page, name) for name in ("csrf_token", "typed_before")}
    return visitor.client.post("/sign-in", data={**fields, "login": login, "password": password})


def _send_again(visitor: Any, page: str) -> Any:
    form = re.search(r'<form class="narrow stack" method="post" action="([^"]+)".*?</form>', page, re.S)
    assert form
    pairs = re.findall(r'name="([^"]+)" value="([^"]*)"', form.group(0))
    return visitor.client.post(form.group(1), data={n: html.unescape(v) for n, v in pairs})


@pytest.mark.parametrize("how", ["ended on the server", "signed out elsewhere"])
def test_what_was_typed_is_saved_after_signing_in_again(
    visit: Callable[..., Any], store: Any, how: str
) -> None:
    visitor = visit("installer")
    job = visitor.begin()
    typed = _typed(visitor.get(f"/jobs/{job}/water").text, house_pressure_psi="62")
    _end(visitor, how)
    asked = visitor.client.post(f"/jobs/{job}/water", data=typed)
    assert asked.status_code == 401
    assert "What you typed is kept" in asked.text
    assert "house_pressure_psi" not in store.jobs.get(1, job).answers
    wrong = _sign_in(visitor, asked.text, password="not-my-password-1")
    assert wrong.status_code == 401
    again = _sign_in(visitor, wrong.text)
    assert again.status_code == 200
    assert again.headers["Cache-Control"] == "no-store"
    assert "house_pressure_psi" not in store.jobs.get(1, job).answers
    assert _send_again(visitor, again.text).status_code == 302
    assert store.jobs.get(1, job).answers["house_pressure_psi"] == "62"


def test_a_form_older_than_a_new_sign_in_is_given_back_and_changes_nothing_by_itself(
    visit: Callable[..., Any], store: Any
) -> None:
    visitor = visit("installer")
    job = visitor.begin()
    typed = _typed(visitor.get(f"/jobs/{job}/water").text, house_pressure_psi="62")
    visitor.client.post("/sign-out", data={"csrf_token": typed["csrf_token"]})
    secret = hidden(visitor.get("/sign-in").text, "csrf_token")
    signed_in = {"login": "installer", "password": PASSWORD, "csrf_token": secret}
    assert visitor.client.post("/sign-in", data=signed_in).status_code == 303
    stale = visitor.client.post(f"/jobs/{job}/water", data=typed)
    assert stale.status_code == 400
    assert "house_pressure_psi" not in store.jobs.get(1, job).answers
    assert _send_again(visitor, stale.text).status_code == 302
    assert store.jobs.get(1, job).answers["house_pressure_psi"] == "62"


def test_somebody_else_who_signs_in_gets_none_of_it(visit: Callable[..., Any], store: Any) -> None:
    visitor = visit("installer")
    job = visitor.begin()
    typed = _typed(visitor.get(f"/jobs/{job}/water").text, house_pressure_psi="62")
    _end(visitor, "ended on the server")
    asked = visitor.client.post(f"/jobs/{job}/water", data=typed)
    other = _sign_in(visitor, asked.text, login="owner")
    assert (other.status_code, "62" in other.text) == (303, False)
    assert "house_pressure_psi" not in store.jobs.get(1, job).answers


@pytest.mark.parametrize("parcel", ["", "x", "e30.aaaa.bbbb", "\u0666\u0660", "A" * 9000])
def test_a_made_up_parcel_is_nothing(visit: Callable[..., Any], parcel: str) -> None:
    nobody = visit()
    answer = nobody.post("/sign-in", {"login": "installer", "password": PASSWORD, "typed_before": parcel})
    assert (answer.status_code, answer.location) == (303, "/jobs")


@pytest.mark.parametrize("mark", ["", "1", "1.AAAA", "\u0661.x", "x" * 5000])
def test_a_form_of_nobody_known_leads_to_the_sign_in_alone(visit: Callable[..., Any], mark: str) -> None:
    answer = visit().post("/office/firm", {"whose": mark, "name": "Elsewhere"})
    assert answer.location == "/sign-in?next=/office/firm"


def test_a_password_is_never_carried(visit: Callable[..., Any]) -> None:
    visitor = visit("owner")
    page = visitor.get("/office/firm").text
    _end(visitor, "ended on the server")
    fields = {name: hidden(page, name) for name in ("csrf_token", "whose")}
    secrets = dict.fromkeys(("password", "mail_password", "present", "fresh"), "walnut-spanner-81")
    asked = visitor.client.post("/office/firm", data={**fields, "name": "New One", **secrets})
    again = _sign_in(visitor, asked.text, login="owner")
    assert "New One" in again.text
    assert "walnut-spanner-81" not in again.text
