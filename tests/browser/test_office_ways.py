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
        page.wait_for_function(f"({IN_SIGHT})(document.activeElement)")
        page.keyboard.press("Tab")
    assert page.get_by_role("link", name="Your account").bounding_box()["height"] >= 44


def test_what_goes_on_beyond_the_edge_fades_and_the_last_way_stands_clear_of_it(person: Callable[..., Page]) -> None:
    page = person("tomas")
    page.goto("/office")
    row = page.locator(".office-ways ul")
    assert "linear-gradient" in row.evaluate("one => getComputedStyle(one).maskImage")
    page.locator(".office-ways a").last.focus()
    page.wait_for_timeout(300)
    right = page.locator(".office-ways a").last.evaluate("one => one.getBoundingClientRect().right")
    assert right <= 360 - 40


SHEETS = """
document.head.insertAdjacentHTML("beforeend", '<link rel="stylesheet" href="/static/letters.css">');
document.body.className = "letters";
document.body.innerHTML = '<header class="letters-top"><h1>2 letters</h1></header><main>'
  + '<article class="letter"><p>a</p></article><article class="letter"><p>b</p></article></main>';
"""


def test_the_first_letter_s_address_stands_where_the_others_do(person: Callable[..., Page]) -> None:
    page = person("june")
    page.goto("/check")
    page.evaluate(SHEETS)
    page.emulate_media(media="print")
    page.wait_for_function("getComputedStyle(document.querySelector('.letters-top')).display === 'none'")
    first = page.locator(".letter").first.evaluate("one => one.getBoundingClientRect().top")
    assert first == 0, "nothing stands above the first letter on its sheet"
