"""Every view of the phone's pages for everybody: axe, 320 px, twice the text, contrast, what a thumb can hit, where the focus is.

One walk through the views gives what most of the tests look at. The suite has each view by axe at one of its widths and
half of four views in each theme; `--whole` all.
"""

from __future__ import annotations

import sys
from collections.abc import Callable
from dataclasses import dataclass, field
from pathlib import Path

import pytest
from playwright.sync_api import Page

sys.path.insert(0, str(Path(__file__).parent))

from phone_views import all_jobs, opened, show, signed
from test_everybody import WIDEST
from typing_in import AXE, UNFOLD, axe_faults

from tests.grids import some

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


THEMES = ("light", "dark", "glare")


@dataclass
class Walked:
    """What was found on one walk through every view."""

    axe: list[str] = field(default_factory=list)
    faults: list[str] = field(default_factory=list)
    heads: list[tuple[str, str, int, bool]] = field(default_factory=list)


@pytest.fixture(scope="module")
def walked(person_of_module: Callable[..., Page]) -> Walked:
    page = person_of_module("riley", 320)
    opened(page, [*all_jobs(), LATE])
    found = Walked()
    for at, way in enumerate(VIEWS):
        page.set_viewport_size({"width": 320, "height": 740})
        show(page, way)
        head = page.locator("#main h1")
        focused = page.evaluate("document.activeElement === document.querySelector('#main h1')")
        found.heads.append((page.title(), head.first.inner_text(), head.count(), focused))
        page.evaluate(UNFOLD)
        found.faults += [f"{way or 'list'}: {one}" for one in page.evaluate(SMALL) + page.evaluate(FINE_PRINT)]
        for size in ("100%", "200%"):
            page.evaluate("size => { document.documentElement.style.fontSize = size; }", size)
            over = page.evaluate("document.documentElement.scrollWidth - document.documentElement.clientWidth")
            if over > 0:
                found.faults.append(f"{way or 'list'} at {size}: {over} px, {page.evaluate(WIDEST)}")
        page.evaluate("document.documentElement.style.fontSize = ''")
        widths = (1280, 360) if way in AT_A_DESK else (360,)
        for width in some(widths, len(widths), at):
            page.set_viewport_size({"width": width, "height": 740})
            found.axe += axe_faults(page, f"{way or 'list'} at {width} px")
    return found


def test_axe_finds_nothing_on_any_view(walked: Walked) -> None:
    assert walked.axe == []


def test_every_view_is_whole_at_320_px_and_at_twice_the_text_and_can_be_hit(walked: Walked) -> None:
    assert not walked.faults, "\n".join(walked.faults)


def test_each_view_says_where_one_is_and_begins_at_its_heading(walked: Walked) -> None:
    for way, (title, words, count, focused) in zip(VIEWS, walked.heads, strict=True):
        assert (count, focused) == (1, True), way
        assert words.split()[0].lower() in title.lower(), (way, title)
    assert len({(title, words) for title, words, *_ in walked.heads}) == len(VIEWS)


@pytest.mark.parametrize("theme", THEMES)
def test_the_list_and_the_strip_stand_out_seven_to_one(person: Callable[..., Page], theme: str) -> None:
    page = person("riley")
    page.emulate_media(color_scheme="dark" if theme == "dark" else "light")
    if theme == "glare":
        page.evaluate("localStorage.setItem('theme', 'glare')")
    opened(page, [*all_jobs(), LATE])
    source = AXE.read_text(encoding="utf-8")
    faint = []
    for way in some(("", "part/water", "gas/sign", "clashes/clash"), 2, THEMES.index(theme)):
        show(page, way)
        page.evaluate(source)
        told = page.evaluate("rules => axe.run(document, rules)", {"runOnly": {"type": "rule", "values": ["color-contrast-enhanced"]}})
        assert told["passes"], "the rule looked at nothing"
        faint += [f"{way}: {n['html'][:90]} {n['any'][0]['message']}" for v in told["violations"] for n in v["nodes"]]
    assert faint == []
