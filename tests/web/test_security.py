"""Every route by every role on own and foreign things; secrets of forms; headers; hosts."""

from __future__ import annotations

import re
from pathlib import Path
from typing import Any

import pytest
from bs4 import BeautifulSoup

from heaterapp import create_app, rules
from heaterapp.web import settings

OPEN, IN, NO, GONE = 200, 302, 403, 404
# route, method: what nobody, installer, office and owner get on what is their own firm's.
TABLE = {
    ("/", "GET"): (302, 302, 302, 302),
    ("/sign-in", "GET"): (200, 302, 302, 302),
    ("/sign-out", "POST"): (303, 303, 303, 303),
    ("/office", "GET"): (IN, NO, OPEN, OPEN),
    ("/office/records/{number}", "GET"): (IN, NO, OPEN, OPEN),
    ("/office/records/{number}/file/certificate.pdf", "GET"): (IN, NO, OPEN, OPEN),
    ("/office/records/{number}/share", "POST"): (IN, NO, OPEN, OPEN),
    ("/office/phone", "GET"): (IN, NO, OPEN, OPEN),
    ("/office/phone", "POST"): (IN, NO, 422, 422),
    ("/office/firm", "GET"): (IN, NO, NO, OPEN),
    ("/office/firm", "POST"): (IN, NO, NO, 303),
    ("/office/firm/people", "POST"): (IN, NO, NO, 303),
    ("/office/firm/people/{person}", "POST"): (IN, NO, NO, 303),
    ("/office/amendments", "GET"): (IN, NO, OPEN, OPEN),
    ("/office/amendments/new?title=Own+town&base=us_ca_2022&on=2026-01-01", "GET"): (IN, NO, OPEN, OPEN),
    ("/office/amendments/clause", "POST"): (IN, NO, 303, 303),
    ("/office/amendments/{amendments}", "GET"): (IN, NO, OPEN, OPEN),
    ("/office/amendments/{amendments}/clause", "GET"): (IN, NO, OPEN, OPEN),
    ("/office/amendments/{amendments}/withdraw", "POST"): (IN, NO, 303, 303),
    ("/check", "GET"): (OPEN, OPEN, OPEN, OPEN),
    ("/healthz", "GET"): (OPEN, OPEN, OPEN, OPEN),
    ("/fonts/faces.css", "GET"): (OPEN, OPEN, OPEN, OPEN),
    ("/fonts/none.woff2", "GET"): (GONE, GONE, GONE, GONE),
    ("/s/{token}", "GET"): (OPEN, OPEN, OPEN, OPEN),
    ("/s/{token}/certificate.pdf", "GET"): (OPEN, OPEN, OPEN, OPEN),
    ("/no/such/page", "GET"): (GONE, GONE, GONE, GONE),
}
FIELDS = {
    "/office/records/{number}/share": {"act": "make"},
    "/office/firm": {"name": "Harborlight Plumbing"},
    "/office/firm/people": {
        "person_name": "New One", "login": "new", "role": "office", "password": "walnut-spanner-81",
    },
    "/office/firm/people/{person}": {"act": "open"},
    "/office/amendments/clause": {
        "title": "New town", "base": "us_ca_2022", "on": "2026-01-01", "clause": "supply.pressure_limit",
        "act": "state", "section": "1", "says": "At most 70 psi.", "value-limit": "70",
    },
}  # fmt: skip
TOWN = rules.read_amendments({
    "name": "town", "title": "Town amendments", "version": 1, "on": "2026-01-01", "base": "us_ca_2022", "silent": {},
    "clauses": {"supply.pressure_limit": {"section": "1", "says": "At most 70 psi.", "values": {"limit": "70"}}},
})  # fmt: skip
ROLES = (None, "installer", "office", "owner")
FOREIGN = [route for route in TABLE if "{number}" in route[0] or "{person}" in route[0] or "{amendments}" in route[0]]


def ours(rule: str) -> str:
    return re.sub(r"<(?:\w+:)?(\w+)>", "{}", rule)


@pytest.fixture
def things(issue: Any, store: Any, people: Any) -> dict[str, Any]:
    mine = issue("a")
    token, _ = store.shares.make(mine.organisation, mine.id)
    store.amendments.save(mine.organisation, people["a", "office"].id, TOWN)
    return {"number": mine.number, "token": token, "person": people["a", "installer"].id, "amendments": "town"}


@pytest.mark.parametrize("role", ROLES, ids=str)
def test_every_route_by_every_role_on_what_is_their_own(
    visit: Any, things: dict[str, Any], role: str | None
) -> None:
    for (route, method), expected in TABLE.items():
        visitor = visit(role)
        path = route.format(**things)
        answer = visitor.get(path) if method == "GET" else visitor.post(path, FIELDS.get(route))
        assert answer.status_code == expected[ROLES.index(role)], f"{method} {route} as {role}"


@pytest.mark.parametrize("role", ["office", "owner"])
def test_what_is_another_firms_is_not_found_just_like_what_is_nobodys(
    visit: Any, issue: Any, people: Any, store: Any, role: str
) -> None:
    issue("a", heater="electric")
    theirs = issue("a")
    stranger = visit(role, firm="b")
    store.amendments.save(theirs.organisation, people["a", "office"].id, TOWN)
    foreign = {"number": theirs.number, "person": people["a", "installer"].id, "amendments": "town"}
    unknown = {"number": "C-999999", "person": 999999, "amendments": "nowhere"}
    for route, method in FOREIGN:
        if role == "office" and "firm" in route:
            continue
        send = stranger.get if method == "GET" else lambda path, r=route: stranger.post(path, FIELDS.get(r))
        there, nowhere = send(route.format(**foreign)), send(route.format(**unknown))
        assert there.status_code == nowhere.status_code == 404, route
        assert strip_secrets(there.text) == strip_secrets(nowhere.text), route


def strip_secrets(page: str) -> str:
    return re.sub(r'(content|value)="[^"]{40,}"', "", page)


def test_the_table_of_routes_names_every_route_of_these_pages(app: Any) -> None:
    named = {(ours(re.sub(r"\{\w+\}", "{}", route)), method) for route, method in TABLE}
    files = {
        ("/fonts/{}", "GET"),
        ("/office/records/{}/file/{}", "GET"),
        ("/static/{}", "GET"),
        ("/sign-in", "POST"),
    }
    named = {(route.partition("?")[0], method) for route, method in named}
    for rule in app.url_map.iter_rules():
        if rule.endpoint.split(".")[0] not in {"sign_in", "office", "own_codes", "firm", "public", "share", "static"}:
            continue
        for method in rule.methods - {"HEAD", "OPTIONS"}:
            assert (ours(rule.rule), method) in named | files, f"{method} {rule.rule} is not in the table"


def test_every_view_that_is_not_public_asks_for_a_role(app: Any) -> None:
    public = {"sign_in", "public", "share", "static", "manual", "phone", "phone_engine"}
    for endpoint, view in app.view_functions.items():
        if endpoint.split(".")[0] not in public:
            assert getattr(view, "roles", None), f"{endpoint} lets anybody in"


def test_no_form_works_without_its_secret(visit: Any, things: dict[str, Any], store: Any, firms: Any) -> None:
    before = store.organisations.get(firms["a"].id), len(store.people.all(firms["a"].id))
    owner = visit("owner")
    for (route, method), _ in TABLE.items():
        if method == "POST":
            answer = owner.post(route.format(**things), FIELDS.get(route), without=True)
            assert answer.status_code == 400, route
            assert "nothing was changed" in answer.text
    assert owner.post("/sign-in", {"login": "owner", "password": "x"}, without=True).status_code == 400
    assert owner.get("/office").status_code == 200
    assert (store.organisations.get(firms["a"].id), len(store.people.all(firms["a"].id))) == before


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


def test_the_key_that_signs_cookies_is_made_once_and_kept_to_its_owner(tmp_path: Path) -> None:
    first = settings.secret_key(tmp_path)
    assert settings.secret_key(tmp_path) == first
    assert len(first) >= 32
    assert (tmp_path / "secret-key").stat().st_mode & 0o077 == 0
    assert [path.name for path in tmp_path.iterdir()] == ["secret-key"]
