"""Secrets of forms, headers, hosts, the key of the cookies; who may what is in test_every_route."""

from __future__ import annotations

from pathlib import Path
from typing import Any

import pytest
from bs4 import BeautifulSoup

from heaterapp import create_app, rules
from heaterapp.web import settings

TOWN = rules.read_amendments({
    "name": "town", "title": "Town amendments", "version": 1, "on": "2026-01-01", "base": "us_ca_2022", "silent": {},
    "clauses": {"supply.pressure_limit": {"section": "1", "says": "At most 70 psi.", "values": {"limit": "70"}}},
})  # fmt: skip

@pytest.fixture
def things(issue: Any, store: Any, people: Any) -> dict[str, Any]:
    mine = issue("a")
    token, _ = store.shares.make(mine.organisation, mine.id)
    store.amendments.save(mine.organisation, people["a", "office"].id, TOWN)
    return {"number": mine.number, "token": token, "person": people["a", "installer"].id, "amendments": "town"}


def test_every_view_that_is_not_public_asks_for_a_role(app: Any) -> None:
    public = {"sign_in", "public", "share", "static", "manual", "phone", "phone_engine", "joining", "language"}
    by_other_means = {"passkeys.options_to_sign_in", "passkeys.sign_in", "translated.of_link"}
    for endpoint, view in app.view_functions.items():
        if endpoint.split(".")[0] not in public and endpoint not in by_other_means:
            assert getattr(view, "roles", None), f"{endpoint} lets anybody in"


def test_a_form_from_another_website_is_refused_even_with_its_secret(visit: Any) -> None:
    owner = visit("owner")
    for where in ("cross-site", "same-site"):
        answer = owner.post("/office/firm", {"name": "Taken Over"}, headers={"Sec-Fetch-Site": where})
        assert answer.status_code == 403
    assert "Taken Over" not in owner.get("/office/firm").text
    assert (
        owner.post("/office/firm", {"name": "Own"}, headers={"Sec-Fetch-Site": "same-origin"}).status_code
        == 303
    )


def test_a_form_kept_open_all_day_still_counts(visit: Any, monkeypatch: pytest.MonkeyPatch) -> None:
    import itsdangerous.timed

    owner = visit("owner")
    secret = owner.secret()
    later = itsdangerous.timed.time.time() + 11 * 3600
    monkeypatch.setattr(itsdangerous.timed.time, "time", lambda: later)
    answer = owner.client.post("/office/firm", data={"name": "Evening", "csrf_token": secret})
    assert answer.status_code == 303


@pytest.mark.parametrize(
    "path", ["/", "/sign-in", "/office", "/office/firm", "/check", "/s/{token}", "/none"]
)
def test_every_page_carries_the_headers(visit: Any, things: dict[str, Any], path: str) -> None:
    for role in (None, "owner"):
        headers = visit(role).get(path.format(**things)).headers
        policy = dict(part.split(" ", 1) for part in headers["Content-Security-Policy"].split("; "))
        assert policy["default-src"] == "'none'"
        assert policy["script-src"] == policy["style-src"] == "'self'"
        assert policy["frame-ancestors"] == policy["base-uri"] == "'none'"
        assert "unsafe" not in headers["Content-Security-Policy"]
        assert headers["Referrer-Policy"] == "no-referrer"
        assert headers["X-Content-Type-Options"] == "nosniff"
        assert headers["X-Frame-Options"] == "DENY"
        assert headers["Cache-Control"] == "no-store"


def test_pages_hold_no_inline_script_and_no_inline_style(visit: Any, things: dict[str, Any]) -> None:
    owner = visit("owner")
    pages = [
        owner.get("/office").text,
        owner.get(f"/office/records/{things['number']}").text,
        owner.post(f"/office/records/{things['number']}/share", {"act": "make"}).text,
        owner.get("/office/firm").text,
        owner.get("/office/people").text,
        owner.get("/account").text,
        visit().get("/sign-in").text,
        visit().get(f"/s/{things['token']}?lang=es").text,
        visit().get("/none").text,
    ]
    for page in pages:
        soup = BeautifulSoup(page, "html.parser")
        assert not [
            tag
            for tag in soup.find_all(True)
            for name in tag.attrs
            if name == "style" or name.startswith("on")
        ]
        assert all(script.get("src") for script in soup.find_all("script"))
        assert not soup.find_all("style")
        assert all(not tag["href"].startswith("javascript:") for tag in soup.find_all(href=True))


def test_only_known_hosts_are_answered(visit: Any) -> None:
    assert visit().get("/healthz", headers={"Host": "elsewhere.example"}).status_code == 400
    assert visit().get("/healthz", headers={"Host": "127.0.0.1:8080"}).status_code == 200


def test_a_public_address_of_https_binds_the_cookie_to_it(tmp_path: Path) -> None:
    app = create_app(DATA_DIR=str(tmp_path), PUBLIC_URL="https://records.example")
    client = app.test_client()
    answer = client.get("/sign-in", base_url="https://records.example")
    assert answer.headers["Strict-Transport-Security"].startswith("max-age=")
    cookie = answer.headers["Set-Cookie"]
    assert cookie.startswith("__Host-heaterapp=")
    assert "Secure" in cookie
    app.extensions["archive"].close()


@pytest.mark.parametrize(
    "given",
    [
        {"PROXIES": "many"},
        {"PROXIES": -1},
        {"PUBLIC_URL": "records.example"},
        {"PUBLIC_URL": "https://x.example/sub?q"},
    ],
)
def test_a_setting_that_cannot_be_used_is_named(given: dict[str, Any]) -> None:
    with pytest.raises(settings.SettingWrong, match="HEATERAPP_P"):
        settings.settled(given, {})


def test_a_key_that_machines_share_is_given_and_not_short() -> None:
    assert settings.settled({}, {"HEATERAPP_SECRET_KEY": "k" * 32})["SECRET_KEY"] == "k" * 32
    with pytest.raises(settings.SettingWrong, match="HEATERAPP_SECRET_KEY is too short"):
        settings.settled({}, {"HEATERAPP_SECRET_KEY": "k" * 31})


def test_the_key_that_signs_cookies_is_made_once_and_kept_to_its_owner(tmp_path: Path) -> None:
    first = settings.secret_key(tmp_path)
    assert settings.secret_key(tmp_path) == first
    assert len(first) >= 32
    assert (tmp_path / "secret-key").stat().st_mode & 0o077 == 0
    assert [path.name for path in tmp_path.iterdir()] == ["secret-key"]
