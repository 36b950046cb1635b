"""Straps on the tank's drawing: put there by a tap, moved by buttons, typed; each way ends in the same boxes."""

from __future__ import annotations

from collections.abc import Callable
from typing import Any

import pytest
from playwright.sync_api import Browser, Locator, Page, expect

pytestmark = pytest.mark.browser
TANK = {
    "heater_kind": "gas_storage", "job_kind": "same_place", "place": "us_ca_2022", "room": "garage", "tank_base_in": "18",
    "tank_height_in": "58", "tank_diameter_in": "18", "strap_kind": "listed_kit", "controls_top_in": "30", "controls_bottom_in": "22",
}  # fmt: skip
AT = """(figure, inches) => { const svg = figure.querySelector("svg"), box = svg.getBoundingClientRect(), told = figure.dataset;
  const unit = box.height / svg.viewBox.baseVal.height;
  return { x: (Number(told.left) + Number(told.right)) / 2 * unit, y: (Number(told.floor) - inches * Number(told.scale)) * unit }; }"""
DRAWN = """all => all.map(one => { const told = one.closest("figure").dataset;
  return Math.round(((told.floor - one.y.baseVal.value - one.height.baseVal.value / 2) / told.scale) * 8) / 8; })"""
INCHES = """typed => import("/static/tape.js").then(({ inches, asTaped }) => typed.map(one => { const at = inches(one); return at === null ? null : asTaped(at); }))"""


def _place(page: Page, served: Any, **answers: Any) -> tuple[Locator, str]:
    job = served.begun({**TANK, **answers})
    page.goto(f"/jobs/{job}/place")
    page.evaluate("document.querySelectorAll('details.group').forEach(one => { one.open = true; })")
    return page.locator('[data-q="strap_heights_in"]'), job


def _tap(box: Locator, inches: float) -> None:
    figure = box.locator("figure")
    figure.locator("svg").click(position=figure.evaluate(AT, inches))


def _heights(box: Locator) -> list[str]:
    return [one.input_value() for one in box.locator(".boxes input").all()]


def _put(box: Locator) -> list[float]:
    """The heights in the boxes; a tap gives whole and half inches only."""
    found = [text.replace(" 1/2", ".5") for text in _heights(box) if text]
    assert all("/" not in text for text in found)
    return [float(text) for text in found]


def test_two_taps_put_two_straps_and_a_third_moves_the_nearest(
    person: Callable[..., Page], served: Any
) -> None:
    page = person()
    box, job = _place(page, served)
    _tap(box, 70)
    (upper,) = _put(box)
    assert abs(upper - 70) <= 0.5
    expect(box.locator("svg rect.strap")).to_have_count(1)
    _tap(box, 35.5)
    lower, above = _put(box)
    assert above == upper
    assert abs(lower - 35.5) <= 0.5
    expect(box.get_by_role("status")).to_contain_text("Lower strap at 3")
    _tap(box, 66.5)
    below, moved = _put(box)
    assert below == lower
    assert abs(moved - 66.5) <= 0.5
    expect(page.locator("[data-saved]")).to_contain_text("saved ")
    expect(box.locator("svg rect.strap")).to_have_count(2)
    assert [float(one) for one in served.stored(job)["strap_heights_in"]] == [lower, moved]
    assert sorted(box.locator("svg rect.strap").evaluate_all(DRAWN)) == [lower, moved]
    assert page.locator("figure[data-straps]").count() == 1
    assert page.faults == []


def test_a_tap_off_the_tank_puts_nothing_and_one_at_its_end_stays_on_it(
    person: Callable[..., Page], served: Any
) -> None:
    page = person()
    box, _ = _place(page, served)
    _tap(box, 8)
    assert _heights(box) == ["", "", "", ""]
    _tap(box, 77.5)
    assert _heights(box) == ["76", "", "", ""]


def test_buttons_are_the_equal_way_and_keep_the_focus(person: Callable[..., Page], served: Any) -> None:
    page = person(width=1280)
    box, job = _place(page, served, strap_heights_in=["36 3/8", "68"])
    page.wait_for_load_state("networkidle")
    lower = box.get_by_role("button", name="+1/2 inch, lower strap")
    lower.focus()
    for _ in range(3):
        page.keyboard.press("Enter")
        page.wait_for_timeout(400)
    assert _heights(box)[:2] == ["37 7/8", "68"]
    assert lower.evaluate("one => one === document.activeElement")
    page.keyboard.press("Shift+Tab")
    page.keyboard.press("Space")
    assert _heights(box)[:2] == ["37 3/8", "68"]
    expect(page.locator("[data-saved]")).to_contain_text("saved ")
    assert served.stored(job)["strap_heights_in"] == ["37.375", "68"]
    box.get_by_role("button", name="Remove the upper strap").press("Enter")
    assert _heights(box)[:2] == ["37 3/8", ""]
    assert page.evaluate("document.activeElement.closest('.strap-rows') !== null")
    expect(box.get_by_role("button", name="\u22121/2 inch, strap")).to_be_visible()
    assert page.faults == []


def test_typing_draws_them_too_and_what_cannot_be_read_is_left_alone(
    person: Callable[..., Page], served: Any
) -> None:
    page = person()
    box, _ = _place(page, served)
    page.fill('[name="strap_heights_in-1"]', "3' 1 1/2")
    expect(box.locator(".strap-name")).to_have_text(["Strap 37 1/2 in"])
    expect(box.locator("svg rect.strap")).to_have_count(1)
    assert box.locator("svg rect.strap").evaluate_all(DRAWN) == [37.5]
    page.fill('[name="strap_heights_in-2"]', "about 66")
    _tap(box, 36)
    assert _heights(box)[1] == "about 66"
    assert _heights(box)[0] in ("35 1/2", "36", "36 1/2")


def test_the_drawing_goes_back_to_what_it_means_when_no_strap_is_asked(
    person: Callable[..., Page], served: Any
) -> None:
    page = person()
    box, _ = _place(page, served)
    expect(box.locator("figure")).to_be_visible()
    page.locator('label:has(> input[name="strap_kind"][value="none"])').click()
    expect(page.locator("[data-section-html] figure")).to_be_visible()
    expect(box).to_be_hidden()
    page.locator('label:has(> input[name="strap_kind"][value="listed_kit"])').click()
    expect(box.locator("figure")).to_be_visible()
    page.fill("#q-tank_height_in", "")
    expect(box.locator(".strap-stage")).to_be_hidden()
    assert page.faults == []


def test_inches_as_they_are_typed(person: Callable[..., Page]) -> None:
    page = person()
    typed = [
        "14 3/8",
        '14-3/8"',
        "1' 2\"",
        "5\u00bd",
        "14.375",
        "3/4",
        "36 in",
        "1' 2 1/2",
        "2'",
        "abc",
        "14/8/2",
        "3/0",
        "1,5",
        "",
    ]
    assert page.evaluate(INCHES, typed) == [
        "14 3/8",
        "14 3/8",
        "14",
        "5 1/2",
        "14 3/8",
        "3/4",
        "36",
        "14 1/2",
        "24",
        None,
        None,
        None,
        None,
        None,
    ]


def test_a_finger_puts_a_strap_and_scrolls_past_the_drawing(chromium: Browser, served: Any) -> None:
    context = chromium.new_context(
        viewport={"width": 320, "height": 740}, base_url=served.url, has_touch=True, is_mobile=True
    )
    page = context.new_page()
    page.goto("/sign-in")
    page.fill("#login", "riley")
    page.fill("#password", "copper-kettle-47")
    page.click("main button[type=submit]")
    page.wait_for_url(lambda url: "sign-in" not in url)
    box, _ = _place(page, served)
    figure = box.locator("figure")
    figure.scroll_into_view_if_needed()
    figure.locator("svg").tap(position=figure.evaluate(AT, 40))
    assert abs(_put(box)[0] - 40) <= 0.5
    assert figure.locator("svg").evaluate("one => getComputedStyle(one).touchAction") == "manipulation"
    small = box.locator(".strap-rows button").evaluate_all(
        "all => all.filter(one => one.getBoundingClientRect().height < 60 || one.getBoundingClientRect().width < 60).length"
    )
    assert small == 0
    assert page.evaluate("document.documentElement.scrollWidth") <= 320
    context.close()


def test_a_tap_counts_though_the_tank_is_drawn_anew_under_the_finger(
    person: Callable[..., Page], served: Any
) -> None:
    page = person()
    box, _ = _place(page, served)
    svg, at = box.locator("figure svg"), box.locator("figure").evaluate(AT, 60)
    svg.hover(position=at)
    page.mouse.down()
    page.evaluate("""() => { const means = document.querySelector("[data-section-html]");
      means.replaceChildren(document.querySelector("[data-q=strap_heights_in] figure").cloneNode(true), ...means.children); }""")
    page.mouse.up()
    (put,) = _put(box)
    assert abs(put - 60) <= 0.5
    expect(box.locator("figure")).to_have_count(1)
    expect(box.locator("svg rect.strap")).to_have_count(1)
    expect(page.locator("[data-section-html] figure[data-straps]")).to_have_count(0)
