"""Keys for wet thumbs: eighths, one more and one less, large digits, the sign, and what Enter does."""

from __future__ import annotations

import re
import sys
from collections.abc import Callable
from pathlib import Path
from typing import Any

import pytest
from playwright.sync_api import Locator, Page, expect

sys.path.insert(0, str(Path(__file__).parent))

from typing_in import axe_faults

from tests.sweeps import beyond

pytestmark = pytest.mark.browser
START = {"heater_kind": "gas_storage", "job_kind": "same_place", "place": "us_ca_2022"}
STRAPPED = {
    **START,
    "room": "garage",
    "strap_kind": "listed_kit",
    "tank_height_in": "58",
    "tank_base_in": "18",
}
VENT = {
    **START, "draft_kind": "draft_hood", "vent_kind": "type_b", "vent_end": "roof",
    "connector_kind": "single_wall", "draft_hood_outlet_in": "4", "connector_diameter_in": "4",
}  # fmt: skip
SMALL = """() => [...document.querySelectorAll(".pad button")]
  .map(one => [one.textContent, one.getBoundingClientRect()]).filter(([, b]) => b.width < 48 || b.height < 60).map(([text]) => text)"""
TOP = "one => one.getBoundingClientRect().top"


def _opened(
    person: Callable[..., Page], served: Any, section: str, answers: dict[str, Any], width: int = 360
) -> Page:
    page = person(width=width)
    page.goto(f"/jobs/{served.begun(answers)}/{section}")
    page.evaluate("document.querySelectorAll('details:not(.excuse)').forEach(one => { one.open = true; })")
    return page


def _key(page: Page, words: str) -> Locator:
    return page.locator(".pad").get_by_text(words, exact=True)


MORE_OR_LESS = (
    ("14 3/8", "+1", "15 3/8"), ("14 3/8", "\u22121", "13 3/8"), ("1' 11", "+1", "2' 0"), ("0 1/2", "\u22121", "0 1/2"),
    ("", "+1", "1"), ("3/4", "+1", "1 3/4"), ("5\u00bd", "+1", "6\u00bd"), ("14.375", "+1", "15.375"), ("about", "+1", "about"),
)  # fmt: skip


def test_an_inch_more_or_less_keeps_the_fraction(person: Callable[..., Page], served: Any) -> None:
    page = _opened(person, served, "place", STRAPPED)
    box = page.locator("#q-tank_diameter_in")
    for typed, key, stands in MORE_OR_LESS:
        box.fill(typed)
        _key(page, key).click()
        assert box.input_value() == stands, (typed, key)
        assert page.evaluate("document.activeElement.id") == "q-tank_diameter_in"
    assert page.faults == []


def test_a_pressure_is_one_tap_and_one_more_corrects_it_with_no_keyboard_called(
    person: Callable[..., Page], served: Any
) -> None:
    page = _opened(person, served, "water", START)
    house = page.locator('[data-q="house_pressure_psi"]')
    house.get_by_role("button", name="60", exact=True).click()
    assert page.evaluate("document.activeElement.tagName") == "BODY"
    house.get_by_role("button", name="+1 psi").click()
    house.get_by_role("button", name="+1 psi").click()
    expect(page.locator("[data-saved]")).to_contain_text("saved ")
    assert page.locator("#q-house_pressure_psi").input_value() == "62"
    assert page.faults == []


def test_a_chip_takes_back_that_it_could_not_be_measured(person: Callable[..., Page], served: Any) -> None:
    unmeasured = {**START, "house_pressure_psi": {"could_not_measure": "no tap"}}
    page = _opened(person, served, "water", unmeasured)
    house = page.locator('[data-q="house_pressure_psi"]')
    house.get_by_role("button", name="55", exact=True).click()
    expect(house.locator('input[name="house_pressure_psi-said"][value=""]')).to_be_checked()
    expect(page.locator("[data-saved]")).to_have_text(re.compile(r"^saved \d"))


def test_what_may_lie_below_nothing_has_a_key_for_its_sign(person: Callable[..., Page], served: Any) -> None:
    page = _opened(person, served, "vent", VENT)
    rise = page.locator("#q-connector_rise_in")
    rise.fill("2 1/2")
    page.get_by_role("button", name="change the sign").click()
    assert rise.input_value() == "-2 1/2"
    _key(page, "\u22121").click()
    assert rise.input_value() == "-3 1/2"
    assert rise.evaluate("one => one.inputMode") == "decimal"
    page.locator("#q-connector_clearance_in").click()
    assert page.get_by_role("button", name="change the sign").count() == 0


LARGE = (
    ("1 0", "10"), ("0 0 3 1/2", "3 1/2"), ("1 1/2 Erase", "1"), ("1/2 Erase", ""), ("0 1/2 Erase 3 1/2", "3 1/2"),
    ("1 1/2 4", "14 1/2"), ("1/2 3", "3 1/2"), ("1 4 3/8 0/8", "14"), ("1 2 Erase", "1"), ("3 \u22121 0 5", "205"),
)  # fmt: skip


def test_large_keys_write_nothing_that_is_no_length(person: Callable[..., Page], served: Any) -> None:
    page = _opened(person, served, "place", STRAPPED)
    page.evaluate("localStorage.setItem('keys', 'large')")
    box = page.locator("#q-tank_diameter_in")
    for keys, stands in LARGE:
        page.evaluate("document.activeElement.blur()")
        box.fill("")
        words = page.locator(".pad button").all_inner_texts()
        assert len(words) == len(set(words))
        for key in keys.split():
            _key(page, key).click()
        assert box.input_value() == stands, keys


def test_large_keys_write_everything_and_are_remembered(person: Callable[..., Page], served: Any) -> None:
    page = _opened(person, served, "place", STRAPPED)
    first = page.locator('[name="strap_heights_in-1"]')
    first.click()
    assert first.evaluate("one => one.inputMode") == "decimal"
    _key(page, "Large keys").click()
    assert first.evaluate("one => one.inputMode") == "none"
    for key in ("3", "5", "7", "Erase", "1/2", "Next", "7", "1", "3/8"):
        _key(page, key).click()
    assert first.input_value() == "35 1/2"
    assert page.locator('[name="strap_heights_in-2"]').input_value() == "71 3/8"
    assert page.evaluate(SMALL) == []
    page.reload()
    page.evaluate("document.querySelectorAll('details:not(.excuse)').forEach(one => { one.open = true; })")
    again = page.locator("#q-tank_diameter_in")
    assert again.evaluate("one => one.inputMode") == "none"
    again.click()
    _key(page, "Phone keys").click()
    assert again.evaluate("one => one.inputMode") == "decimal"
    assert page.evaluate("document.activeElement.id") == "q-tank_diameter_in"
    assert page.faults == []


@pytest.mark.parametrize("back", [False, True])
def test_nothing_moves_under_the_thumb_when_the_pad_changes_its_place(
    person: Callable[..., Page], served: Any, back: bool
) -> None:
    page = _opened(person, served, "place", STRAPPED)
    one, other = page.locator("#q-tank_height_in"), page.locator("#q-controls_top_in")
    if back:
        one, other = other, one
    one.click()
    page.wait_for_timeout(100)
    other.scroll_into_view_if_needed()
    before = other.evaluate(TOP)
    other.evaluate("box => box.focus({preventScroll: true})")
    page.wait_for_timeout(200)
    assert abs(other.evaluate(TOP) - before) <= 1
    excuse = page.locator('[data-q="tank_height_in"] .excuse > summary')
    assert excuse.evaluate(TOP) < page.locator("#q-tank_height_in").evaluate(
        "one => one.getBoundingClientRect().bottom"
    )


@pytest.mark.parametrize(("width", "size"), [(320, "200%"), (360, "100%"), (1280, "100%"), beyond(320, "100%", why="360 px at that size, 320 px at twice the text")])
def test_every_key_is_as_large_as_a_thumb_and_in_view(
    person: Callable[..., Page], served: Any, width: int, size: str
) -> None:
    page = _opened(person, served, "place", STRAPPED, width)
    page.evaluate("size => { document.documentElement.style.fontSize = size; }", size)
    page.locator("#q-tank_height_in").click()
    for _ in range(2):
        assert page.evaluate(SMALL) == []
        over = "document.documentElement.scrollWidth - document.documentElement.clientWidth"
        assert page.evaluate(over) <= 0
        assert (
            page.evaluate(
                "[...document.querySelectorAll('.pad button')].filter(b => b.scrollWidth > b.clientWidth + 1).map(b => b.textContent)"
            )
            == []
        )
        _key(page, "Large keys").click() if _key(page, "Large keys").count() else None


def test_the_pad_is_one_stop_for_a_keyboard_and_its_arrows_go_round(
    person: Callable[..., Page], served: Any
) -> None:
    page = _opened(person, served, "place", STRAPPED, 1280)
    page.locator("#q-tank_height_in").focus()
    page.keyboard.press("Tab")
    page.keyboard.press("Tab")
    held = "document.activeElement.textContent"
    assert page.evaluate(held) == "0/8"
    page.keyboard.press("ArrowRight")
    page.keyboard.press("ArrowRight")
    assert page.evaluate(held) == "1/4"
    page.keyboard.press("Enter")
    assert page.locator("#q-tank_height_in").input_value() == "58 1/4"
    page.keyboard.press("End")
    assert page.evaluate(held) == "Large keys"
    page.keyboard.press("ArrowRight")
    assert page.evaluate(held) == "0/8"
    page.keyboard.press("Tab")
    assert page.evaluate("document.activeElement.closest('.pad')") is None


def test_enter_goes_to_the_next_box_and_the_last_says_done(person: Callable[..., Page], served: Any) -> None:
    page = _opened(person, served, "water", START)
    visible = page.locator('.job-form input[type="text"]:visible')
    count = visible.count()
    assert count > 3
    visible.first.focus()
    for at in range(count):
        assert visible.nth(at).evaluate("one => one === document.activeElement"), at
        hint = page.evaluate("document.activeElement.enterKeyHint")
        assert hint == ("done" if at == count - 1 else "next")
        page.keyboard.press("Enter")
    assert page.evaluate("document.activeElement.tagName") == "BODY"
    assert page.url.endswith("/water")
    assert page.faults == []


@pytest.mark.parametrize(
    ("section", "box"),
    [("water", "house_pressure_psi"), ("vent", "connector_rise_in"), ("place", "strap_heights_in")],
)
def test_axe_finds_nothing_at_the_keys_and_the_drawing(
    person: Callable[..., Page], served: Any, section: str, box: str
) -> None:
    page = _opened(person, served, section, {**VENT, **STRAPPED, "strap_heights_in": ["36", "68"]})
    page.locator(f"#q-{box}").click()
    _key(page, "Large keys").click()
    assert page.locator(".pad:visible button").count() > 10
    assert axe_faults(page, section) == []
