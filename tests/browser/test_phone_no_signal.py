"""With no signal: it is said quietly, nothing that needs one leads to a dead page, and what comes up by itself is no fault."""

from __future__ import annotations

from collections.abc import Callable
from typing import Any

import pytest
from playwright.sync_api import Page, expect

from tests.browser.phone_views import draft, opened, show
from tests.browser.typing_in import axe_faults, job_answers

pytestmark = pytest.mark.browser


@pytest.fixture
def page(person: Callable[..., Page]) -> Any:
    made = person("riley")
    opened(made, [draft("gas", job_answers("gas_storage_us_ca"))])
    return made


@pytest.mark.parametrize("way", ["", "gas/water"])
def test_the_way_to_the_office_stays_here_without_a_signal(page: Page, way: str) -> None:
    show(page, way)
    link, status = page.get_by_role("link", name="Jobs on line"), page.locator("[data-signal]")
    expect(status).to_be_hidden()
    page.context.set_offline(True)
    expect(status).to_have_text("No signal")
    expect(link).to_have_attribute("aria-disabled", "true")
    before = page.url
    link.click(force=True)
    expect(page.locator("[data-line]")).to_contain_text("No signal")
    assert page.url == before
    assert axe_faults(page, "no signal") == []
    page.context.set_offline(False)
    expect(status).to_be_hidden()
    expect(page.locator("[data-line]")).to_be_hidden()
    link.click()
    page.wait_for_url("**/jobs")


def test_a_call_that_comes_back_after_the_signal_went_says_nothing_of_now(page: Page) -> None:
    build = page.evaluate("async () => (await (await fetch('/phone/version.json')).json()).build")
    page.evaluate(
        "async (build) => { globalThis.signal = await import(`/phone/${build}/phone/signal.js`); }", build
    )
    page.context.set_offline(True)
    status = page.locator("[data-signal]")
    expect(status).to_have_text("No signal")
    assert page.evaluate("signal.met(true), signal.hasSignal()") is False
    expect(status).to_have_text("No signal")
    page.context.set_offline(False)
    expect(status).to_be_hidden()


def test_what_was_sent_is_not_opened_without_a_signal(page: Page) -> None:
    page.context.set_offline(True)
    expect(page.locator("[data-signal]")).to_have_text("No signal")
    before = page.url
    page.locator("[data-sent] a").first.click()
    expect(page.locator("[data-line]")).to_contain_text("No signal")
    assert page.url == before


def test_a_call_that_failed_says_so_and_one_that_comes_back_lets_one_go(page: Page) -> None:
    page.wait_for_load_state("networkidle")
    page.route("**/phone/api/**", lambda route: route.abort())
    page.evaluate("location.hash = '/gas/water'")
    expect(page.locator("[data-signal]")).to_have_text("No signal")
    page.get_by_role("link", name="Jobs on line").click(force=True)
    expect(page.locator("[data-line]")).to_contain_text("No signal")
    page.unroute("**/phone/api/**")
    page.get_by_role("link", name="Jobs on line").click(force=True)
    page.wait_for_url("**/jobs")
