"""A passkey in a real browser, by an authenticator of its own making: kept, signed in with, removed; and no button without."""

from __future__ import annotations

import re
from datetime import timedelta
from typing import Any

import pytest
from playwright.sync_api import Browser, Page
from sqlalchemy import update

from heaterapp.archive import tables
from heaterapp.archive.database import stamp

pytestmark = pytest.mark.browser

PERSON = {
    "protocol": "ctap2", "transport": "internal", "hasResidentKey": True, "hasUserVerification": True,
    "isUserVerified": True, "automaticPresenceSimulation": True,
}  # fmt: skip


def authenticator(page: Page) -> tuple[Any, str]:
    """Give the page's browser an authenticator; its session, and its id."""
    session = page.context.new_cdp_session(page)
    session.send("WebAuthn.enable")
    return session, session.send("WebAuthn.addVirtualAuthenticator", {"options": PERSON})["authenticatorId"]


def _sign_ins_grow_old(served: Any) -> None:
    store = served.store()
    began = {"created_at": stamp(store.database.moment() - timedelta(minutes=11))}
    with store.database.write() as connection:
        connection.execute(update(tables.session).values(began))
    store.close()


def test_a_passkey_is_kept_signs_in_and_is_removed(served: Any, chromium: Browser) -> None:
    context = chromium.new_context(viewport={"width": 360, "height": 740}, base_url=served.url.replace("127.0.0.1", "localhost"))
    page, blocked = context.new_page(), []
    page.on("console", lambda said: blocked.append(said.text) if "Content Security Policy" in said.text else None)
    session, device = authenticator(page)
    page.goto("/sign-in")
    page.fill("#login", "june")
    page.fill("#password", "copper-kettle-47")
    page.click("main form button")
    page.goto("/account")
    page.click("text=Add a passkey")
    page.wait_for_url(re.compile("said=passkey"))
    assert len(session.send("WebAuthn.getCredentials", {"authenticatorId": device})["credentials"]) == 1
    page.click(".leave button")
    page.click("text=Sign in with a passkey")
    page.wait_for_url(re.compile("/office$"))
    page.goto("/account")
    assert "last used" in page.inner_text("main")
    page.click("text=Add a passkey")
    page.get_by_text("No passkey was added.").wait_for()
    page.click("section[aria-labelledby=keys] li button")
    page.wait_for_url(re.compile("said=removed"))
    _sign_ins_grow_old(served)
    page.click("text=Add a passkey")
    page.get_by_text("Present password: type the one").wait_for()
    page.fill("#keep-present", "copper-kettle-47")
    page.click("text=Add a passkey")
    page.wait_for_url(re.compile("said=passkey"))
    page.click("section[aria-labelledby=keys] li button")
    page.wait_for_url(re.compile("said=removed"))
    page.click(".leave button")
    page.click("text=Sign in with a passkey")
    page.get_by_text("That passkey was not accepted.").wait_for()
    assert page.url.split("?")[0].endswith("/sign-in")
    assert blocked == []
    context.close()


def test_no_button_without_script_or_without_passkeys(served: Any, chromium: Browser) -> None:
    address = served.url.replace("127.0.0.1", "localhost")
    for script, gone in ((False, ""), (True, "delete window.PublicKeyCredential")):
        context = chromium.new_context(base_url=address, java_script_enabled=script)
        page = context.new_page()
        page.add_init_script(gone or "0")
        page.goto("/sign-in")
        assert page.get_by_text("Sign in", exact=True).first.is_visible()
        assert page.locator("[data-passkey]").count() == 1
        assert not page.locator("[data-passkey]").is_visible()
        context.close()
