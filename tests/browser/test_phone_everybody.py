"""Every view of the phone's pages for everybody: axe, 320 px, twice the text, contrast, what a thumb can hit, where the focus is."""

from __future__ import annotations

import sys
from collections.abc import Callable
from pathlib import Path

import pytest
from playwright.sync_api import Page

sys.path.insert(0, str(Path(__file__).parent))

from phone_views import all_jobs, opened, show, signed
from test_everybody import WIDEST
from typing_in import AXE, UNFOLD, axe_faults

pytestmark = pytest.mark.browser
LATE = signed("late", "77 Late Lane", "retry", 30, problem={"code": "retry", "says": "No connection. It is sent by itself later."})
VIEWS = (
    "", "new", "part/job", "part/water", "gas/vent", "gas/alarms", "amps/electric", "pump/place", "part/review", "fix/review", "gas/review",
    "ready/review", "gas/photos", "gas/sign", "clashes/clash", "newer/job", "bare/job",
)  # fmt: skip
AT_A_DESK = ("", "part/water", "pump/place", "fix/review", "gas/sign", "clashes/clash")
SMALL = """() => [...document.querySelectorAll("a[href], button, summary, input, select")]
  .filter((one) => one.checkVisibility({ visibilityProperty: true }) && !one.closest(".skip, .means, [data-review-html] .figures"))
  .map((one) => [one, (one.closest(".pick, .phone-file") ?? one).getBoundingClientRect()])
  .filter(([one, box]) => box.height && box.height < (one.matches(".main, .chip, input:not([type=file]), select") && !one.matches(".excuse *, .keys *, .pick-clear *") ? 60 : 48) - 0.5)
  .map(([one, box]) => `${Math.round(box.height)} px: ${one.outerHTML.slice(0, 100)}`)"""
FINE_PRINT = """() => [...document.querySelectorAll("body *")]
  .filter((one) => one.checkVisibility() && !one.closest("svg, .saved, .fraction") && [...one.childNodes].some((text) => text.nodeType === 3 && text.data.trim()))
  .filter((one) => parseFloat(getComputedStyle(one).fontSize) < 16).map((one) => one.outerHTML.slice(0, 100))"""


def _walk(page: Page) -> list[str]:
    opened(page, [*all_jobs(), LATE])
    return list(VIEWS)


def test_axe_finds_nothing_on_any_view(person: Callable[..., Page]) -> None:
    page = person("riley")
    found = []
    for way in _walk(page):
        show(page, way)
        for width in (360, 1280) if way in AT_A_DESK else (360,):
            page.set_viewport_size({"width": width, "height": 740})
            found += axe_faults(page, f"{way or 'list'} at {width} px")
    assert found == []


def test_every_view_is_whole_at_320_px_and_at_twice_the_text_and_can_be_hit(person: Callable[..., Page]) -> None:
    page = person("riley", 320)
    faults = []
    for way in _walk(page):
        show(page, way)
        page.evaluate(UNFOLD)
        faults += [f"{way or 'list'}: {one}" for one in page.evaluate(SMALL) + page.evaluate(FINE_PRINT)]
        for size in ("100%", "200%"):
            page.evaluate("size => { document.documentElement.style.fontSize = size; }", size)
            over = page.evaluate("document.documentElement.scrollWidth - document.documentElement.clientWidth")
            if over > 0:
                faults.append(f"{way or 'list'} at {size}: {over} px, {page.evaluate(WIDEST)}")
        page.evaluate("document.documentElement.style.fontSize = ''")
    assert not faults, "\n".join(faults)


@pytest.mark.parametrize("theme", ["light", "dark", "glare"])
def test_the_list_and_the_strip_stand_out_seven_to_one(person: Callable[..., Page], theme: str) -> None:
    page = person("riley")
    page.emulate_media(color_scheme="dark" if theme == "dark" else "light")
    if theme == "glare":
        page.evaluate("localStorage.setItem('theme', 'glare')")
    opened(page, [*all_jobs(), LATE])
    source = AXE.read_text(encoding="utf-8")
    faint = []
    for way in ("", "part/water", "gas/sign", "clashes/clash"):
        show(page, way)
        page.evaluate(source)
        told = page.evaluate("rules => axe.run(document, rules)", {"runOnly": {"type": "rule", "values": ["color-contrast-enhanced"]}})
        assert told["passes"], "the rule looked at nothing"
        faint += [f"{way}: {n['html'][:90]} {n['any'][0]['message']}" for v in told["violations"] for n in v["nodes"]]
    assert faint == []


def test_each_view_says_where_one_is_and_begins_at_its_heading(person: Callable[..., Page]) -> None:
    page = person("riley")
    titles = set()
    for way in _walk(page):
        show(page, way)
        head = page.locator("#main h1")
        assert head.count() == 1, way
        assert page.evaluate("document.activeElement === document.querySelector('#main h1')"), way
        assert head.inner_text().split()[0].lower() in page.title().lower(), (way, page.title())
        titles.add((page.title(), head.inner_text()))
    assert len(titles) == len(VIEWS)
