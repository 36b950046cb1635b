"""A sign-in that ends while one types: after a reload, a press, and without script, what was typed is there and is saved."""

from __future__ import annotations

import sys
from collections.abc import Callable
from pathlib import Path
from typing import Any

import pytest
from playwright.sync_api import Page, expect

sys.path.insert(0, str(Path(__file__).parent))

from typing_in import SAVED, axe_faults

pytestmark = pytest.mark.browser
PASSWORD = "copper-kettle-47"
BASE = {"heater_kind": "gas_storage", "place": "model_upc_2024", "house_pressure_psi": "50"}


@pytest.fixture
def job(served: Any) -> str:
    return str(served.begun(BASE))


def _saved(page: Page, served: Any, job: str, name: str, value: Any) -> None:
    for _ in range(50):
        if served.stored(job).get(name) == value:
            return
        page.wait_for_timeout(100)
    raise AssertionError(served.stored(job))


def _sign_in_again(page: Page) -> None:
    page.fill("#login", "riley")
    page.fill("#password", PASSWORD)
    page.click("main button[type=submit]")


def _typed_after_the_end(page: Page, job: str) -> None:
    page.goto(f"/jobs/{job}/water")
    page.context.clear_cookies()
    page.locator("#q-house_pressure_psi").fill("62")
    expect(page.locator("[data-saved]")).to_contain_text("not saved")


def test_a_reload_loses_nothing(person: Callable[..., Page], served: Any, job: str) -> None:
    page = person()
    _typed_after_the_end(page, job)
    page.reload()
    _sign_in_again(page)
    expect(page.locator("#q-house_pressure_psi")).to_have_value("62")
    _saved(page, served, job, "house_pressure_psi", "62")
    # Stored is not yet told to the page, and only what it was told of does it let go.
    expect(page.locator("[data-saved]")).to_have_text(SAVED)
    page.reload()
    assert page.evaluate("sessionStorage.length") == 0


def test_what_was_kept_in_the_tab_does_not_write_over_another_device(
    person: Callable[..., Page], served: Any, job: str
) -> None:
    page = person()
    _typed_after_the_end(page, job)
    store = served.store()
    store.jobs.save_answers(store.organisations.default().id, job, {"house_pressure_psi": "71"})
    store.close()
    page.reload()
    _sign_in_again(page)
    expect(page.locator('[data-q="house_pressure_psi"] .clash')).to_contain_text("Take 71")
    expect(page.locator("#q-house_pressure_psi")).to_have_value("62")
    assert served.stored(job)["house_pressure_psi"] == "71"


@pytest.mark.parametrize("script", [True, False], ids=["script", "no script"])
def test_the_button_leads_through_the_sign_in(
    person: Callable[..., Page], served: Any, job: str, script: bool
) -> None:
    page = person(script=script)
    page.goto(f"/jobs/{job}/water")
    page.context.clear_cookies()
    page.locator("#q-house_pressure_psi").fill("62")
    page.locator("[data-onward]").click()
    expect(page.locator("main")).to_contain_text("What you typed is kept")
    faults = axe_faults(page, "signed out") if script else []
    _sign_in_again(page)
    expect(page.locator("h1")).to_have_text("Send it again")
    faults += axe_faults(page, "send again") if script else []
    assert faults == []
    page.get_by_role("button", name="Save what I typed").click()
    _saved(page, served, job, "house_pressure_psi", "62")
