"""On a narrow phone nothing breaks in a word, touches, or goes under the foot; and the foot leaves the screen to the job."""

from __future__ import annotations

from collections.abc import Callable

import pytest
from playwright.sync_api import Page, expect

from tests.browser.phone_views import draft, opened, show
from tests.browser.typing_in import job_answers

pytestmark = pytest.mark.browser
UNFOLD = "document.querySelectorAll('main details').forEach((one) => { one.open = true; })"
BROKEN = r"""() => [...document.querySelectorAll("main .pick > span")].filter((one) => one.offsetParent).flatMap((one) => {
  const text = one.firstChild;
  return [...text.textContent.matchAll(/\S+/g)].filter(({ 0: word, index }) => {
    const range = document.createRange();
    range.setStart(text, index);
    range.setEnd(text, index + word.length);
    return new Set([...range.getClientRects()].map(({ top }) => Math.round(top))).size > 1;
  }).map(([word]) => word);
})"""
TOUCHING = """() => [...document.querySelectorAll("main .group:not([hidden]) > summary")].map((one) => {
  const ink = (child) => { const range = document.createRange(); range.selectNodeContents(child); return range.getBoundingClientRect(); };
  const [head, tally] = [ink(one.querySelector("h2")), ink(one.querySelector(".quiet"))];
  return [one.textContent, tally.left - head.right, tally.top < head.bottom - 4 && tally.width > 0];
}).filter(([, gap, level]) => level && gap < 10).map(([text]) => text)"""
FOOT = """() => [document.querySelector("main [data-strip]").getBoundingClientRect().height,
  document.querySelector("main [data-onward]").getBoundingClientRect().height]"""
LEAN_PX = 112


@pytest.mark.parametrize("width", [320, 360, 390])
def test_no_word_breaks_and_no_tally_touches_its_heading(person: Callable[..., Page], width: int) -> None:
    page = person("riley", width=width)
    begun = {"address_street": "1 Narrow Row", "heater_kind": "gas_storage", "job_kind": "same_place", "place": "us_ca_2022"}
    opened(page, [draft("bare", begun), draft("gas", job_answers("gas_storage_us_ca"))], [])
    for way in ("gas/plate", "gas/water", "bare/plate", "bare/place"):
        show(page, way)
        assert page.evaluate(TOUCHING) == [], way
    for way in ("bare/job", "bare/plate", "bare/place"):
        show(page, way)
        page.evaluate(UNFOLD)
        assert page.evaluate(BROKEN) == [], way


def test_the_foot_leaves_the_screen_to_the_job(person: Callable[..., Page]) -> None:
    page = person("riley")
    opened(page, [draft("gas", job_answers("gas_storage_us_ca"))], [])
    show(page, "gas/water")
    expect(page.locator("main [data-saved]")).not_to_be_empty()
    foot, button = page.evaluate(FOOT)
    assert foot <= LEAN_PX
    assert button >= 60


def test_a_fault_does_not_push_its_box_under_the_foot(person: Callable[..., Page]) -> None:
    page = person("riley")
    opened(page, [draft("gas", job_answers("gas_storage_us_ca"))], [])
    show(page, "gas/water")
    page.evaluate(UNFOLD)
    box = page.locator("#q-house_pressure_psi")
    box.evaluate("""one => { one.focus({ preventScroll: true });
      const foot = document.querySelector("main [data-strip]").getBoundingClientRect().top;
      scrollBy(0, one.getBoundingClientRect().bottom - foot + 4); }""")
    page.keyboard.type("abc")
    expect(page.locator("#e-house_pressure_psi")).to_contain_text("expected a number in psi")
    page.wait_for_timeout(200)
    bottom, foot = box.evaluate(
        """one => [one, document.querySelector("main [data-strip]")].map((two) => two.getBoundingClientRect())
             .map(({ top, bottom }, at) => (at ? top : bottom))"""
    )
    assert bottom <= foot
