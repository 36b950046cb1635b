"""One tap changes the language of the phone's pages: with a signal, without one, under an open job, and said where it cannot."""

from __future__ import annotations

import sys
from collections.abc import Callable
from pathlib import Path
from typing import Any

import pytest
from playwright.sync_api import BrowserContext, Page, expect

sys.path.insert(0, str(Path(__file__).parent))

from phone_views import READY, all_jobs, draft, put, show
from test_phone_spanish import english
from typing_in import job_answers

pytestmark = pytest.mark.browser
WORKS = "navigator.serviceWorker.ready.then(() => true)"
BUILDS = r"""performance.getEntriesByType("resource")
  .map(({ name }) => /\/phone\/([0-9a-f]{16})\//.exec(name)?.[1]).filter(Boolean)"""
"""The build that each script and sheet of the page came from."""
BOTH = """async () => {
  const { kept } = await new Promise(async (done) => {
    const { port1, port2 } = new MessageChannel();
    port1.onmessage = ({ data }) => done(data);
    (await navigator.serviceWorker.getRegistration("/phone/")).active.postMessage({ keep: "es" }, [port2]);
  });
  return kept;
}"""


def tapped(page: Page, name: str, language: str) -> None:
    """Press the other language, and see the same place in it."""
    page.locator(".foot").get_by_role("button", name=name).click()
    expect(page.locator("html")).to_have_attribute("lang", language)
    page.wait_for_function(READY)


def chosen(context: BrowserContext) -> list[str]:
    return [one["value"] for one in context.cookies() if one["name"] == "language"]


@pytest.fixture
def on_phone(person: Callable[..., Page]) -> Page:
    """The phone's pages, kept, with a job on them; no Python of the phone's own is fetched."""
    page = person("riley")
    page.goto("/phone/")
    page.wait_for_function(READY)
    page.evaluate(WORKS)
    put(page, [draft("gas", {**job_answers("gas_storage_us_ca"), "house_pressure_psi": None})], [])
    return page


def test_one_tap_changes_it_and_the_office_hears_of_it(on_phone: Page, served: Any) -> None:
    page = on_phone
    show(page, "gas/water")
    page.locator("main details").evaluate_all("folds => folds.forEach((one) => { one.open = true; })")
    page.locator("#q-house_pressure_psi").fill("61")
    with page.expect_response("**/phone/api/language") as told:
        tapped(page, "Español", "es")
    assert told.value.status == 200
    assert page.url.endswith("#/gas/water")
    expect(page.locator("#q-house_pressure_psi")).to_have_value("61")
    expect(page.locator("[data-said=house_pressure_psi]")).to_contain_text("Cumple")
    assert len(set(page.evaluate(BUILDS))) == 1
    assert (english(page), chosen(page.context), page.faults) == ([], ["es"], [])
    # The pages at the office follow at once, and a choice made there holds here.
    page.goto("/jobs")
    expect(page.locator("html")).to_have_attribute("lang", "es")
    page.locator(".tongues").get_by_role("button", name="English").click()
    page.goto("/phone/")
    expect(page.locator("html")).to_have_attribute("lang", "en")
    page.wait_for_function(READY)
    assert english(page)


def test_it_is_changed_with_no_signal_there_and_back(on_phone: Page) -> None:
    page, context = on_phone, on_phone.context
    put(page, all_jobs())
    assert page.evaluate(BOTH) is True
    context.set_offline(True)
    show(page, "new")
    page.fill("#address_street", "9 Quay Rd")
    page.check("[name=heater_kind][value=heat_pump_storage]", force=True)
    tapped(page, "Español", "es")
    # A new job that nothing keeps yet comes along.
    assert page.input_value("#address_street") == "9 Quay Rd"
    assert page.is_checked("[name=heater_kind][value=heat_pump_storage]")
    assert english(page) == []
    page.goto("/phone/")
    expect(page.locator("html")).to_have_attribute("lang", "es")
    page.wait_for_function(READY)
    expect(page.locator("[data-drafts] li").first).to_be_visible()
    assert english(page) == []
    assert page.locator("[data-newer]").is_hidden()
    tapped(page, "English", "en")
    assert chosen(context) == ["en"]
    # What was chosen last is what the office hears once there is a signal.
    with page.expect_request("**/phone/api/language") as told:
        context.set_offline(False)
        page.goto("/phone/")
    assert told.value.post_data_json == {"language": "en"}


def test_what_is_not_on_the_phone_is_said_in_the_language_that_was_asked_for(on_phone: Page) -> None:
    page = on_phone
    page.context.set_offline(True)
    page.locator(".foot").get_by_role("button", name="Español").click()
    line = page.locator("[data-line]")
    expect(line).to_contain_text("todavía no están en español en este teléfono")
    expect(line).to_have_attribute("lang", "es")
    expect(page.locator("html")).to_have_attribute("lang", "en")
    assert chosen(page.context) == []
