"""The five minutes of the spill test: a lock, a reload, a closed tab and a clock that is set do not lose them."""

from __future__ import annotations

from collections.abc import Callable
from typing import Any

import pytest
from playwright.sync_api import Page, expect

pytestmark = pytest.mark.browser
HOOD = {
    "heater_kind": "gas_storage",
    "job_kind": "same_place",
    "place": "us_ca_2022",
    "draft_kind": "draft_hood",
}
CLOCK = "2026-11-26T09:00:00Z"
RIGHT = """() => import("/static/minutes.js").then(({ gone }) => [
  gone(1000, null, { wall: 61_000, mono: 5 }, true),
  gone(1000, { wall: 61_000, mono: 60_000 }, { wall: 62_000, mono: 61_000 }, true),
  gone(1000, { wall: 61_000, mono: 60_000 }, { wall: 241_000, mono: 61_000 }, false),
  gone(1000, { wall: 61_000, mono: 60_000 }, { wall: 241_000, mono: 61_000 }, true),
  gone(1000, { wall: 61_000, mono: 60_000 }, { wall: -3_539_000, mono: 61_000 }, false),
  gone(100_000, null, { wall: 1000, mono: 5 }, true),
  gone(1000, null, { wall: 86_402_000, mono: 5 }, true),
])"""


def _at_the_hood(person: Callable[..., Page], served: Any, width: int = 360) -> tuple[Page, str]:
    page, job = person(width=width), served.begun(HOOD)
    page.clock.install(time=CLOCK)
    _open(page, job)
    return page, job


def _open(page: Page, job: str) -> None:
    page.goto(f"/jobs/{job}/alarms")
    page.evaluate("document.querySelectorAll('details.group').forEach(one => { one.open = true; })")


def test_how_long_it_has_run_by_two_clocks(person: Callable[..., Page]) -> None:
    page = person()
    first, ticked, slept, ahead, back, future, old = page.evaluate(RIGHT)
    assert first == {"started": 1000, "elapsed": 60_000, "set": False}
    assert ticked == {"started": 1000, "elapsed": 61_000, "set": False}
    assert slept == {"started": 1000, "elapsed": 240_000, "set": False}
    assert ahead == {"started": 180_000, "elapsed": 61_000, "set": True}
    assert back == {"started": -3_600_000, "elapsed": 61_000, "set": True}
    assert future is None
    assert old is None


def test_it_says_loudly_when_they_are_over_and_answers_nothing(
    person: Callable[..., Page], served: Any
) -> None:
    page, job = _at_the_hood(person, served)
    box = page.locator('[data-q="spillage_after_5min"]')
    expect(box.locator(".timer-caution")).to_contain_text("Shut the heater off")
    page.evaluate("navigator.vibrate = given => { window.buzzed = given; }")
    title = page.title()
    box.get_by_role("button", name="Start 5 minutes").click()
    page.clock.run_for(60_000)
    expect(box.get_by_role("timer")).to_have_text("4:00 left")
    assert page.title() == title
    page.clock.run_for(239_000)
    expect(box.get_by_role("timer")).to_have_text("0:01 left")
    page.clock.run_for(1500)
    expect(box.get_by_role("timer")).to_have_text("5 minutes are over")
    expect(box.get_by_role("status")).to_contain_text("Look at the hood now")
    assert page.title().startswith("Look at the hood now")
    assert page.evaluate("window.buzzed.length") > 2
    assert "spillage_after_5min" not in served.stored(job)
    box.locator('label:has(> input[value="none"])').click()
    assert page.title() == title
    expect(box.get_by_role("button", name="Start 5 minutes")).to_be_visible()
    assert page.evaluate("Object.keys(localStorage).filter(key => key.startsWith('spill'))") == []
    assert page.faults == []


def test_a_reload_and_a_closed_tab_lose_no_minute(person: Callable[..., Page], served: Any) -> None:
    page, job = _at_the_hood(person, served)
    page.get_by_role("button", name="Start 5 minutes").click()
    page.clock.run_for(30_000)
    page.reload()
    expect(page.get_by_role("timer")).to_contain_text("4:")
    kept = page.evaluate("Object.entries(localStorage).filter(([key]) => key.startsWith('spill'))")
    assert [key for key, _ in kept] == [f"spill/{job}"]
    assert kept[0][1].isdigit()
    other = page.context.new_page()
    other.clock.install(time="2026-11-26T09:04:10Z")
    page.close()
    _open(other, job)
    expect(other.get_by_role("timer")).to_contain_text("0:")
    other.clock.run_for(60_000)
    expect(other.get_by_role("timer")).to_have_text("5 minutes are over")
    other.get_by_role("button", name="Start again").click()
    expect(other.get_by_role("timer")).to_contain_text("5:00")
    other.get_by_role("button", name="Stop the timer").click()
    expect(other.get_by_role("button", name="Start 5 minutes")).to_be_visible()


def test_a_clock_that_is_set_while_one_waits_neither_shortens_nor_lengthens_the_wait(
    person: Callable[..., Page], served: Any
) -> None:
    page, _ = _at_the_hood(person, served)
    page.get_by_role("button", name="Start 5 minutes").click()
    page.clock.run_for(60_000)
    for moved in (900, -7200):
        page.evaluate("by => { const real = Date.now; Date.now = () => real() + by * 1000; }", moved)
        page.clock.run_for(1000)
        expect(page.locator(".timer-says")).to_contain_text("clock was set")
        expect(page.get_by_role("timer")).to_contain_text("3:5")
    page.clock.run_for(238_500)
    expect(page.get_by_role("timer")).to_have_text("5 minutes are over")


def test_a_locked_phone_is_told_at_its_waking(person: Callable[..., Page], served: Any) -> None:
    page, _ = _at_the_hood(person, served)
    page.get_by_role("button", name="Start 5 minutes").click()
    page.clock.run_for(1000)
    # Asleep no interval runs and the running count may stand; awake again the page is shown.
    page.evaluate(
        """() => { const real = Date.now; Date.now = () => real() + 301_000;
        document.dispatchEvent(new Event("visibilitychange")); }"""
    )
    expect(page.get_by_role("timer")).to_have_text("5 minutes are over")


def test_the_timer_of_one_job_is_not_another_s(person: Callable[..., Page], served: Any) -> None:
    page, _ = _at_the_hood(person, served)
    page.get_by_role("button", name="Start 5 minutes").click()
    _open(page, served.begun(HOOD))
    expect(page.get_by_role("button", name="Start 5 minutes")).to_be_visible()
