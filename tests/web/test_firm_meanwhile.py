"""Two owners at the firm's settings: what one saved meanwhile is told to the other, and not written over."""

from __future__ import annotations

import io
import json
from typing import Any

import pytest
from bs4 import BeautifulSoup

from heaterapp.web.places import place_titles

FIRM = "/office/firm"
MAIL = {
    "section": "mail", "mail_host": "mail.example.com", "mail_port": "587", "mail_security": "starttls",
    "mail_user": "", "mail_sender": "papers@example.com",
}  # fmt: skip


@pytest.fixture
def owner(visit: Any) -> Any:
    return visit("owner")


def drawn(owner: Any) -> str:
    """What each form of the page as it is now carries of it."""
    forms = BeautifulSoup(owner.get(FIRM).text, "html.parser").select('form:has([name="seen"])')
    (seen,) = {form.find("input", {"name": "seen"})["value"] for form in forms}
    assert len(forms) == 5, "every form of settings"
    return str(seen)


def told(answer: Any) -> tuple[BeautifulSoup, list[str]]:
    page = BeautifulSoup(answer.text, "html.parser")
    return page, [line.text for line in page.select(".error-summary li")]


def test_what_was_typed_stays_beside_what_was_saved_meanwhile_and_is_saved_when_sent_again(owner: Any, store: Any) -> None:
    sent = {"seen": drawn(owner), "time_zone": "America/Denver", "retention_years": "10", "link_days": ""}
    store.organisations.save_settings(1, {"time_zone": "America/Chicago", "retention_years": 12})
    head = store.log.head(1)
    late = owner.post(FIRM, sent)
    page, says = told(late)
    assert (late.status_code, store.log.head(1)) == (409, head)
    # What this owner left alone shows what stands now, what was typed is kept.
    assert [page.find(id=name)["value"] for name in ("time_zone", "retention_years")] == ["America/Denver", "12"]
    assert sorted(says) == [
        "Time zone: America/Chicago was saved meanwhile. What you typed stands here: save again to keep it.",
        "Years that papers are kept: 12 was saved meanwhile, and stands here now.",
    ]
    seen = page.find("input", {"name": "seen"})["value"]
    assert owner.post(FIRM, {**sent, "retention_years": "12", "seen": seen}).status_code == 303
    kept = store.organisations.get(1).settings
    assert (kept["time_zone"], kept["retention_years"]) == ("America/Denver", 12)


def test_facts_choices_codes_and_mail_are_told_in_their_own_words(owner: Any, store: Any) -> None:
    seen = drawn(owner)
    store.organisations.change(1, None, {"phone": "555-0199"}, {
        "paper": "a4", "places_served": ["us_ca_2022"], "mail": {"host": "other.example.com", "port": 25, "sender": "a@b.example"},
    })  # fmt: skip
    facts = {"name": "Harborlight Plumbing", "licence": "C36", "phone": "", "address": "", "paper": "letter"}
    for sent, says in (
        (facts, ["Phone: 555-0199 was saved meanwhile", "Paper size: A4 was saved meanwhile, and"]),
        ({"section": "served", "served": ["us_ut"], "place": "us_ut"}, [f"Codes that installers may choose: 1 of {len(place_titles())} was saved meanwhile. What"]),
        (MAIL, ["Mail server: other.example.com", "Port: 25", "Sender: a@b.example was saved meanwhile. What"]),
    ):
        late = owner.post(FIRM, {**sent, "seen": seen})
        page, lines = told(late)
        assert late.status_code == 409, lines
        assert all(any(line.startswith(one) for line in lines) for one in says), lines
        assert len(lines) == len(says)
    assert page.find(id="mail_host")["value"] == "mail.example.com"
    assert page.find(id="mail_port")["value"] == "25"


def test_what_others_changed_elsewhere_or_to_the_same_stops_nobody(owner: Any, store: Any) -> None:
    seen = drawn(owner)
    store.organisations.change(1, None, {"phone": "555-0199"}, {"paper": "a4", "time_zone": "America/Denver"})
    sent = {"time_zone": "America/Denver", "retention_years": "11"}
    assert owner.post(FIRM, {**sent, "seen": seen}).status_code == 303
    assert (store.organisations.get(1).phone, store.organisations.get(1).settings["paper"]) == ("555-0199", "a4")
    for unreadable in ("no note", "[]", json.dumps({"time_zone": 3})):
        assert owner.post(FIRM, {**sent, "seen": unreadable}).status_code == 400


def test_in_one_moment_the_second_is_told(owner: Any, store: Any, monkeypatch: pytest.MonkeyPatch) -> None:
    seen, change = drawn(owner), store.organisations.change

    def a_moment_later(*given: Any, **named: Any) -> Any:
        monkeypatch.setattr(store.organisations, "change", change)
        change(1, None, {"licence": "C36 999999"})
        return change(*given, **named)

    monkeypatch.setattr(store.organisations, "change", a_moment_later)
    late = owner.post(FIRM, {"licence": "C36 111111", "seen": seen})
    assert late.status_code == 409
    assert "License: C36 999999 was saved meanwhile. What you typed stands here" in late.text
    assert store.organisations.get(1).licence == "C36 999999"


def test_a_logo_that_another_owner_took_away_or_kept_is_looked_at_first(owner: Any, store: Any) -> None:
    store.organisations.save_settings(1, {"logo": None})
    picture = (io.BytesIO(b"no picture"), "logo.png")
    for sent in ({"act": "remove"}, {"act": "keep", "logo": picture}):
        late = owner.post(f"{FIRM}/logo", {**sent, "of": "5e" * 32})
        assert late.status_code == 400
        assert "Logo: somebody changed it meanwhile." in late.text
