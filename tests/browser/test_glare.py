"""The theme for bright sun: one tap away, nothing below 12 to 1, no line thinner than 2 px, the focus seen."""

from __future__ import annotations

import json
import sys
from collections.abc import Callable
from pathlib import Path
from typing import Any

import pytest
from playwright.sync_api import Browser, Page, expect

sys.path.insert(0, str(Path(__file__).parent))

from typing_in import job_answers

pytestmark = pytest.mark.browser
# Relative luminance and contrast as WCAG 2.2 defines them.
FAINT = """() => {
  const light = ([r, g, b]) => { const [x, y, z] = [r, g, b].map(v => { v /= 255; return v <= 0.04045 ? v / 12.92 : ((v + 0.055) / 1.055) ** 2.4; });
    return 0.2126 * x + 0.7152 * y + 0.0722 * z; };
  const parts = text => (text.match(/[\\d.]+/g) ?? []).map(Number);
  const opaque = text => text.startsWith("rgb") && (parts(text)[3] ?? 1) > 0.99;
  const under = e => { for (let at = e; at; at = at.parentElement) { const c = getComputedStyle(at).backgroundColor; if (opaque(c)) return c; } return "rgb(255, 255, 255)"; };
  const ratio = (a, b) => { const [x, y] = [light(parts(a)), light(parts(b))].sort((m, n) => n - m); return (x + 0.05) / (y + 0.05); };
  const faint = [], seen = { text: 0, border: 0, drawn: 0 };
  for (const e of document.querySelectorAll("body *")) {
    const style = getComputedStyle(e), box = e.getBoundingClientRect();
    if ((!(box.width && box.height) && !e.closest("svg")) || style.visibility === "hidden" || e.closest(".hidden-words, .skip, option, head")) continue;
    if (e.closest("svg.drawing")) {
      if (e.tagName === "text") { seen.drawn++; if (ratio(style.fill, under(e)) < 12) faint.push(`fill ${e.outerHTML.slice(0, 80)}`); }
      if (opaque(style.stroke)) { seen.drawn++;
        if (ratio(style.stroke, under(e)) < 12) faint.push(`stroke ${e.outerHTML.slice(0, 80)}`);
        if (parseFloat(style.strokeWidth) < 1.6) faint.push(`thin ${style.strokeWidth} ${e.outerHTML.slice(0, 80)}`); }
      continue;
    }
    const own = [...e.childNodes].some(node => node.nodeType === 3 && node.textContent.trim());
    if (own) { seen.text++; if (ratio(style.color, under(e)) < 12) faint.push(`text ${ratio(style.color, under(e))} ${e.outerHTML.slice(0, 80)}`); }
    if (e.matches("input[type=text], input[type=date], select, .chip:not(.key-size), .pick:not(.pick-clear) > span, .button")) { seen.border++;
      if (parseFloat(style.borderTopWidth) < 2) faint.push(`border ${style.borderTopWidth} ${e.outerHTML.slice(0, 80)}`);
      if (ratio(style.borderTopColor, under(e.parentElement)) < 12) faint.push(`border color ${e.outerHTML.slice(0, 80)}`); }
  }
  return [faint, seen];
}"""
RING = """() => { const e = document.activeElement.closest(".pick")?.querySelector("span") ?? document.activeElement, style = getComputedStyle(e);
  return [style.outlineStyle, parseFloat(style.outlineWidth), style.outlineColor]; }"""


def _job(served: Any) -> str:
    return str(served.begun({**job_answers("gas_storage_to_fix"), "vent_above_roof_in": "6"}))


def test_one_tap_from_a_job_s_page_and_remembered(person: Callable[..., Page], served: Any) -> None:
    page = person()
    job = _job(served)
    page.goto(f"/jobs/{job}/water")
    button = page.locator(".job-head").get_by_role("button", name="High contrast")
    place = button.bounding_box()
    assert place
    assert place["y"] + place["height"] < 740
    assert place["height"] >= 48
    assert place["width"] >= 48
    button.click()
    assert page.evaluate("document.documentElement.dataset.theme") == "glare"
    expect(page.locator("[data-glare][aria-pressed=true]")).to_have_count(2)
    page.goto(f"/jobs/{job}/review")
    assert page.evaluate("document.documentElement.dataset.theme") == "glare"
    page.locator("[data-glare]").first.click()
    page.reload()
    assert page.evaluate("document.documentElement.dataset.theme ?? ''") == ""
    assert page.faults == []


def test_a_device_that_asks_for_contrast_gets_it_until_told_otherwise(chromium: Browser, served: Any) -> None:
    context = chromium.new_context(base_url=served.url, contrast="more")
    page = context.new_page()
    page.goto("/sign-in")
    assert page.evaluate("document.documentElement.dataset.theme") == "glare"
    page.get_by_role("button", name="High contrast").click()
    page.reload()
    assert page.evaluate("document.documentElement.dataset.theme ?? ''") == ""
    context.close()


@pytest.mark.parametrize("section", ["plate", "water", "vent", "place", "alarms"])
def test_nothing_is_below_twelve_to_one_nor_thinner_than_two_pixels(
    person: Callable[..., Page], served: Any, section: str
) -> None:
    page = person()
    page.evaluate("localStorage.setItem('theme', 'glare')")
    page.goto(f"/jobs/{_job(served)}/{section}")
    page.evaluate("document.querySelectorAll('details').forEach(one => { one.open = true; })")
    box = page.locator("[data-q] .box > input:visible").first
    box.focus()
    if section == "alarms":
        page.evaluate(
            "for (const key of Object.keys(localStorage)) if (key.startsWith('spill')) localStorage.removeItem(key)"
        )
        page.get_by_role("button", name="Start 5 minutes").click()
        page.evaluate("document.querySelector('.timer').classList.add('timer-over')")
    page.mouse.move(0, 0)
    faint, seen = page.evaluate(FAINT)
    assert faint == []
    assert seen["text"] > 20
    assert seen["border"] > 5
    assert (seen["drawn"] > 20) == (section in ("water", "vent", "place")), json.dumps(seen)


def test_the_focus_is_a_black_ring_of_three_pixels(person: Callable[..., Page], served: Any) -> None:
    page = person()
    page.evaluate("localStorage.setItem('theme', 'glare')")
    page.goto(f"/jobs/{_job(served)}/water")
    page.evaluate("document.querySelectorAll('details').forEach(one => { one.open = true; })")
    kinds = set()
    for _ in range(30):
        page.keyboard.press("Tab")
        kinds.add(page.evaluate("document.activeElement.tagName + document.activeElement.className"))
        style, width, color = page.evaluate(RING)
        assert (style, color) == ("solid", "rgb(0, 0, 0)")
        assert width >= 3
    assert len(kinds) >= 5
