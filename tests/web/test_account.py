"""One's own page: the password, and the devices that are signed in; how long they stay so."""

from __future__ import annotations

from datetime import UTC, datetime, timedelta
from typing import Any

import pytest
from bs4 import BeautifulSoup

from .conftest import PASSWORD

FRESH = "walnut-spanner-81"


@pytest.mark.parametrize("role", ["installer", "office", "owner"])
def test_every_role_changes_its_own_password_and_other_devices_are_out(visit: Any, role: str) -> None:
    here, elsewhere = visit(role), visit(role)
    assert here.get("/account").status_code == 200
    sent = {"present": PASSWORD, "fresh": FRESH}
    assert here.post("/account/password", sent).location == "/account?said=password"
    assert here.get("/account").status_code == 200
    assert elsewhere.get("/account").status_code == 302
    assert visit().post("/sign-in", {"login": role, "password": PASSWORD}).status_code == 401
    assert visit().post("/sign-in", {"login": role, "password": FRESH}).status_code == 303


WRONG = (
    ({}, "present"),
    ({"present": "not this one", "fresh": FRESH}, "present"),
    ({"present": PASSWORD}, "fresh"),
    ({"present": PASSWORD, "fresh": "short"}, "fresh"),
    ({"present": PASSWORD, "fresh": "Harborlight Plumbing 2026"}, "fresh"),
    ({"present": PASSWORD, "fresh": "x" * 300}, "fresh"),
    ({"present": "x" * 300, "fresh": FRESH}, "present"),
    ({"present": [PASSWORD, PASSWORD], "fresh": FRESH}, "present"),
)


def test_a_password_that_is_not_changed_is_told_why(visit: Any) -> None:
    here, elsewhere = visit("office"), visit("office")
    for sent, field in WRONG:
        answer = here.post("/account/password", sent)
        page = BeautifulSoup(answer.text, "html.parser")
        assert answer.status_code == 400, sent
        assert page.find(class_="error-summary").a["href"] == f"#{field}", sent
        assert PASSWORD not in answer.text
        assert FRESH not in answer.text
    assert elsewhere.get("/office").status_code == 200


@pytest.mark.usefixtures("stopped_clock")
def test_guessing_the_present_password_counts_with_the_sign_in(visit: Any) -> None:
    here = visit("office")
    codes = [here.post("/account/password", {"present": "wrong guess", "fresh": FRESH}).status_code for _ in range(5)]
    assert codes == [400, 400, 400, 400, 429]
    assert visit().post("/sign-in", {"login": "office", "password": PASSWORD}).status_code == 429


def test_devices_are_listed_in_words_and_signed_out_one_or_all(visit: Any, store: Any, people: Any) -> None:
    here, mine = visit("office"), people["a", "office"]
    agent = "Mozilla/5.0 (Windows NT 10.0; Win64; x64; rv:140.0) Gecko/20100101 Firefox/140.0"
    old, session = store.sessions.start(1, mine.id, agent, now=datetime.now(UTC) - timedelta(hours=5))
    other, _ = store.sessions.start(1, mine.id, "")
    store.organisations.save_settings(1, {"time_zone": "America/Los_Angeles"})
    page = here.get("/account").text
    assert "Firefox on Windows" in page
    assert page.count("Last contact") == 3
    assert " PDT" in page or " PST" in page
    assert here.post(f"/account/devices/{session.id}").status_code == 303
    assert store.sessions.find(old) is None
    assert store.sessions.find(other) is not None
    assert here.post("/account/devices", {"act": "others"}).status_code == 303
    assert store.sessions.find(other) is None
    assert here.get("/office").status_code == 200


def test_nobody_signs_out_a_device_of_another(visit: Any, store: Any, people: Any) -> None:
    token, session = store.sessions.start(1, people["a", "installer"].id)
    assert visit("office").post(f"/account/devices/{session.id}").status_code == 404
    assert visit("owner").post(f"/account/devices/{session.id}").status_code == 404
    assert store.sessions.find(token) is not None


def test_how_long_a_sign_in_lasts_is_the_firm_s_setting(store: Any, people: Any) -> None:
    noon = datetime(2026, 3, 14, 12, 0, tzinfo=UTC)

    def lasts(role: str) -> timedelta:
        _, session = store.sessions.start(1, people["a", role].id, now=noon)
        return datetime.fromisoformat(session.expires_at) - noon

    assert [lasts(role) for role in ("installer", "office", "owner")] == [
        timedelta(days=30), timedelta(hours=12), timedelta(hours=12),
    ]  # fmt: skip
    store.organisations.save_settings(1, {"office_session_hours": 168, "installer_session_days": 1})
    assert [lasts(role) for role in ("installer", "office")] == [timedelta(days=1), timedelta(hours=168)]
    for odd in (0, 169, -1, "24", True, None):
        store.organisations.save_settings(1, {"office_session_hours": odd})
        assert lasts("office") == timedelta(hours=12), odd


def test_a_closed_person_is_out_at_once(visit: Any, store: Any, people: Any) -> None:
    here = visit("office")
    assert here.get("/account").status_code == 200
    store.people.save(1, people["a", "office"].id, disabled=True)
    assert here.get("/account").status_code == 302
    assert store.sessions.live(1, people["a", "office"].id) == []
