"""Every error gets its own plain page, or plain JSON, and gives nothing away."""

from __future__ import annotations

from collections.abc import Callable
from typing import Any

import pytest
from bs4 import BeautifulSoup
from flask import Flask, abort

from heaterapp import archive, create_app
from heaterapp.web.errors import SAYS
from tests.web.conftest import SETTINGS

FAULTS: dict[str, Callable[[], Any]] = {
    "crash": lambda: 1 / 0,
    "changed": lambda: (_ for _ in ()).throw(archive.JobChanged(1, 2)),
    "invalid": lambda: (_ for _ in ()).throw(archive.Invalid("name", "text was expected")),
    "erased": lambda: (_ for _ in ()).throw(archive.Erased("The content was erased for privacy.")),
    "slow": lambda: (_ for _ in ()).throw(archive.TooManyTries(61)),
    "teapot": lambda: abort(418),
    "gateway": lambda: abort(502),
}


@pytest.fixture(scope="module")
def breaking(tmp_path_factory: pytest.TempPathFactory) -> Flask:
    """An app with a page that fails in a chosen way, made once."""
    made = create_app(DATA_DIR=str(tmp_path_factory.mktemp("breaking")), **SETTINGS)
    made.extensions["archive"].close()
    made.add_url_rule("/broken/<how>", view_func=lambda how: FAULTS[how](), methods=["GET", "POST"])
    return made


@pytest.fixture
def app(app: Flask, breaking: Flask, monkeypatch: pytest.MonkeyPatch) -> Flask:
    """The breaking app on this test's own archive."""
    monkeypatch.setitem(breaking.config, "DATA_DIR", app.config["DATA_DIR"])
    monkeypatch.setitem(breaking.extensions, "archive", app.extensions["archive"])
    return breaking


@pytest.mark.parametrize(
    ("how", "code", "says"),
    [
        ("crash", 500, "tell us this reference: "),
        ("changed", 409, "Review them again, then issue."),
        ("invalid", 400, "name: text was expected."),
        ("erased", 404, "erased for privacy"),
        ("slow", 429, "Wait 61 seconds, then try again."),
        ("teapot", 400, SAYS[400][1]),
        ("gateway", 500, SAYS[500][1]),
    ],
)
def test_a_failure_is_told_plainly_to_people_and_to_scripts(
    visit: Any, how: str, code: int, says: str
) -> None:
    page = visit("owner").get(f"/broken/{how}")
    assert page.status_code == code
    soup = BeautifulSoup(page.text, "html.parser")
    assert says in soup.find("main").text
    assert soup.title.text == SAYS[code][0]
    assert "Traceback" not in page.text
    assert "ZeroDivision" not in page.text
    data = visit("owner").get(f"/broken/{how}", headers={"Accept": "application/json"})
    assert data.status_code == code
    assert says in data.json["error"]


def test_the_log_of_a_failure_keeps_the_secret_of_a_link(
    visit: Any, store: Any, monkeypatch: pytest.MonkeyPatch, caplog: pytest.LogCaptureFixture
) -> None:
    def lost(token: str) -> None:
        raise RuntimeError("disk")

    monkeypatch.setattr(store.shares, "lookup", lost)
    assert visit().get("/s/the-secret-of-a-link").status_code == 500
    assert "/s/<token>" in caplog.text
    assert "the-secret-of-a-link" not in caplog.text


def test_a_broken_lookup_of_the_person_still_gets_a_page(
    app: Any, visit: Any, store: Any, monkeypatch: pytest.MonkeyPatch
) -> None:
    def lost(token: str) -> None:
        raise RuntimeError("disk")

    somebody = visit("owner")
    monkeypatch.setattr(store.sessions, "find", lost)
    answer = somebody.get("/office")
    assert answer.status_code == 500
    assert "disk" not in answer.text
    assert "Something broke here" in answer.text


@pytest.mark.parametrize(
    ("method", "path", "code"),
    [
        ("GET", "/no/such/page", 404),
        ("GET", "/%ff%fe", 404),
        ("GET", "/office/records/" + "x" * 3000, 404),
        ("GET", "/office/records/%00", 404),
        ("GET", "/office/records/C-000001%27--", 404),
        ("GET", "/static/../secret-key", 404),
        ("GET", "/static/%2e%2e/pyproject.toml", 404),
        ("GET", "/fonts/..%2fB612-Regular.woff2", 404),
        ("GET", "/fonts/B612-Regular.ttf", 404),
        ("GET", "/sign-out", 405),
        ("DELETE", "/check", 405),
        ("PUT", "/office", 405),
    ],
)
def test_absurd_addresses_and_methods(visit: Any, method: str, path: str, code: int) -> None:
    answer = visit("owner").client.open(path, method=method)
    assert answer.status_code == code
    assert BeautifulSoup(answer.text, "html.parser").h1.text == SAYS[code][0]
    if code == 405:
        assert method not in answer.headers["Allow"].split(", ")


@pytest.mark.parametrize("kind", ["application/x-www-form-urlencoded", "multipart/form-data; boundary=x"])
def test_ten_megabytes_are_refused_in_words(visit: Any, kind: str) -> None:
    body = b"name=" + b"x" * 10_000_000
    if kind.startswith("multipart"):
        body = b'--x\r\nContent-Disposition: form-data; name="name"\r\n\r\n' + body + b"\r\n--x--\r\n"
    answer = visit("owner").client.post("/office/firm", data=body, content_type=kind)
    assert answer.status_code == 413
    assert "larger than 1 MB" in answer.text


@pytest.mark.parametrize(
    "body", [b"{", b"[]", b'"x"', b"\xff\xfe", b"", b'{"a":' * 5000, b'{"csrf_token": 5}'], ids=range(7)
)
def test_nonsense_bodies_change_nothing_and_break_nothing(visit: Any, body: bytes) -> None:
    owner = visit("owner")
    secret = owner.secret()
    for path in ("/sign-in", "/office/firm", "/office/people/invites", "/office/people/1", "/account/password", "/sign-in/passkey"):
        for kind in (
            "application/json",
            "application/x-www-form-urlencoded",
            "multipart/form-data; boundary=y",
            "x/y",
        ):
            answer = owner.client.post(path, data=body, content_type=kind, headers={"X-CSRFToken": secret})
            assert answer.status_code in {400, 401}, (path, kind)
    assert owner.get("/office").status_code == 200


@pytest.mark.parametrize("cookie", ["x", "a.b.c", "." * 4000, '{"token": 5}', "eyJ0b2tlbiI6NX0.x.y"])
def test_a_made_up_cookie_is_nobody(visit: Any, app: Any, cookie: str) -> None:
    somebody = visit()
    somebody.client.set_cookie(app.config["SESSION_COOKIE_NAME"], cookie)
    assert somebody.get("/office").status_code == 302


@pytest.mark.parametrize("token", [5, None, ["x"], {"a": 1}, "", "x" * 5000])
def test_a_signed_cookie_with_an_absurd_token_is_nobody(visit: Any, token: Any) -> None:
    somebody = visit()
    with somebody.client.session_transaction() as session:
        session["token"] = token
    assert somebody.get("/office").status_code == 302


def test_a_script_without_a_sign_in_is_told_so(visit: Any) -> None:
    answer = visit().get("/office", headers={"Accept": "application/json"})
    assert answer.status_code == 401
    assert answer.json == {"error": SAYS[401][1]}
