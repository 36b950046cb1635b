"""The page of a job's photos: whole at every width, large enough to press, and it gives back what it borrows."""

from __future__ import annotations

from typing import Any

import pytest
from playwright.sync_api import expect

from tests.browser.photographing import (
    at_photos,
    begun,
    camera,
    picture,
    until,
)
from tests.browser.typing_in import axe_faults

pytestmark = pytest.mark.browser


_SMALL = """() => [...document.querySelectorAll("#photos :is(a, button, input, summary), .phone-back a")].filter((one) => one.offsetParent)
  .map((one) => one.closest("label") ?? one)
  .filter((one) => one.getBoundingClientRect().height < 59.9 || parseFloat(getComputedStyle(one).fontSize) < 16)
  .map((one) => `${one.textContent.trim()} ${one.getBoundingClientRect().height} ${getComputedStyle(one).fontSize}`)"""


def test_the_addresses_of_previews_are_given_back(person: Any) -> None:
    page = person()
    page.add_init_script(
        "window.held = new Set(); const make = URL.createObjectURL, drop = URL.revokeObjectURL;"
        "URL.createObjectURL = (what) => { const at = make.call(URL, what); held.add(at); return at; };"
        "URL.revokeObjectURL = (at) => { held.delete(at); drop.call(URL, at); };"
    )
    made = begun(page)
    at_photos(page, made)
    camera(page, "Data plate", "choose").set_files([picture(at) for at in range(4)])
    expect(page.locator(".phone-shot")).to_have_count(4)
    page.get_by_role("link", name="Back to the review").click()
    expect(page.get_by_role("heading", name="Review")).to_be_visible()
    until(lambda: page.evaluate("held.size") == 0)


@pytest.mark.parametrize("width", [320, 360, 1280])
def test_the_page_is_whole_large_enough_to_press_and_to_read(width: int, person: Any) -> None:
    page = person("riley", width)
    made = begun(page)
    at_photos(page, made)
    camera(page, "Whole heater from the front", "choose").set_files([picture(1), picture(2)])
    page.get_by_role("button", name="Remove Whole heater from the front, picture 2").click()
    expect(page.get_by_role("button", name="Undo")).to_be_focused()
    page.locator("details.phone-fold summary").click()
    assert page.evaluate("document.documentElement.scrollWidth <= innerWidth")
    assert page.evaluate(_SMALL) == []
    assert axe_faults(page, "photos") == []
    page.evaluate("document.documentElement.style.fontSize = '200%'")
    assert page.evaluate("document.documentElement.scrollWidth <= innerWidth")
