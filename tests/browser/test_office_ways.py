"""The office's row of ways on a narrow phone: one row, every way in reach of the keyboard, and the account too."""

from __future__ import annotations

from collections.abc import Callable

import pytest
from playwright.sync_api import Page

pytestmark = pytest.mark.browser

IN_SIGHT = "one => { const { left, right } = one.getBoundingClientRect(); return left >= 0 && right <= innerWidth; }"


def test_the_ways_stand_in_one_row_in_which_the_keyboard_reaches_all(person: Callable[..., Page]) -> None:
    page = person("tomas")
    page.goto("/office/backups")
    ways = page.locator(".office-ways a")
    assert page.locator(".office-ways").bounding_box()["height"] < 60
    assert page.locator(".office-ways a[aria-current]").evaluate(IN_SIGHT), "the page that is open shows"
    assert page.evaluate("document.documentElement.scrollWidth") == 360
    page.goto("/office")
    ways.first.focus()
    for at in range(ways.count()):
        assert ways.nth(at).evaluate("one => one === document.activeElement")
        page.wait_for_function(f"({IN_SIGHT})(document.activeElement)", timeout=2000)
        page.keyboard.press("Tab")
    assert page.get_by_role("link", name="Your account").bounding_box()["height"] >= 44
