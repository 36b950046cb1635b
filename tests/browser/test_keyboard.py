"""A whole job by keyboard alone: Tab, Space, Enter, arrows and letters, from the list of jobs to the certificate."""

from __future__ import annotations

import sys
from collections.abc import Callable
from pathlib import Path
from typing import Any

import pytest
from playwright.sync_api import Page, expect

sys.path.insert(0, str(Path(__file__).parent))

from typing_in import SAVED, Keyboard, begun_but, job_answers, reads

from tests.sweeps import beyond

pytestmark = pytest.mark.browser
AT = "wanted => document.activeElement.matches(wanted)"
SEEN = """() => { const e = document.activeElement, b = (e.closest(".pick") ?? e).getBoundingClientRect();
  const strip = document.querySelector("[data-strip]");
  const foot = strip && !strip.contains(e) ? strip.getBoundingClientRect().top : innerHeight;
  return b.top >= 0 && b.top < foot; }"""


class Keys:
    """A person with a keyboard and nothing else."""

    def __init__(self, page: Page) -> None:
        self.page = page

    def to(self, wanted: str, back: bool = False) -> None:
        """Go on by Tab until the focus is there; it must then be in view, above the strip."""
        for _ in range(150):
            self.page.keyboard.press("Shift+Tab" if back else "Tab")
            if self.page.evaluate(AT, wanted):
                assert self.page.evaluate(SEEN), f"{wanted} has the focus out of sight"
                return
        raise AssertionError(f"Tab never reached {wanted}")

    def press(self, *keys: str) -> None:
        for key in keys:
            self.page.keyboard.press(key)

    def type(self, wanted: str, text: str) -> None:
        self.to(wanted)
        self.page.keyboard.type(text)

    def saved(self) -> None:
        reads(self.page, "[data-saved]", SAVED)


def test_every_kind_of_control_and_the_whole_way_by_keyboard(
    person: Callable[..., Page], served: Any
) -> None:
    page = person("riley", 1280)
    keys = Keys(page)
    page.goto("/jobs")
    keys.to('a[href="/jobs/new"]')
    keys.press("Enter")
    page.wait_for_url("**/new")
    keys.type("#address_street", "9 Keyboard Close")
    keys.to('input[name="heater_kind"]')
    keys.press("Space", "ArrowRight", "ArrowLeft")
    keys.to("main button[type=submit]")
    keys.press("Enter")
    page.wait_for_url("**/job")
    job = page.url.rsplit("/", 2)[1]

    # Text, choices by arrows, a date.
    keys.type("#q-owner_name", "Dana Whitlock")
    keys.to('input[name="permit_status"]')
    keys.press("Space")
    keys.type("#q-permit_number", "B26-01877")
    keys.type("#q-work_date", "11252026")
    keys.saved()
    keys.to("[data-onward]")
    keys.press("Enter")
    page.wait_for_url("**/plate")

    # The list of sections; a chip; an excuse with its reason; two lengths; several lengths; a folded part.
    keys.to(".ways-fold > summary")
    keys.press("Enter")
    keys.to('[data-way="water"] > a')
    keys.press("Enter")
    page.wait_for_url("**/water")
    keys.to('.chips[data-for="house_pressure_psi"] > .chip')
    keys.press("Enter")
    expect(page.locator("#q-house_pressure_psi")).to_have_value("50")
    keys.to('[data-q="house_pressure_psi"] .excuse > summary')
    keys.press("Enter")
    keys.to('input[name="house_pressure_psi-said"]')
    keys.press("ArrowRight")
    keys.type('input[name="house_pressure_psi-why"]', "gauge broken")
    keys.saved()
    keys.to("#q-house_pressure_psi", back=True)
    page.keyboard.type("60")
    expect(page.locator('input[name="house_pressure_psi-said"][value=""]')).to_be_checked()
    keys.to('input[name="expansion_device"]')
    keys.press("Space")
    expect(page.locator('[data-q="expansion_tank_gal"]')).to_be_visible()
    keys.to(".more > summary")
    keys.press("Enter")
    expect(page.locator("#q-cold_inlet_f")).to_be_visible()
    keys.saved()
    keys.to("button[value=usual]")
    keys.press("Enter")
    expect(page.locator(".group > summary", has_text="as usual").first).to_be_visible()

    page.goto(f"/jobs/{job}/place")
    keys.to("#q-room")
    keys.press("Space")
    keys.saved()
    store = served.store()
    held = store.jobs.get(store.organisations.default().id, job).answers
    assert held["house_pressure_psi"] == "60"
    assert held["room"] == "garage"
    assert held["work_date"] == "2026-11-25"
    # The rest of a whole job is typing of the same kinds.
    given = {k: v for k, v in job_answers("gas_storage_us_ca").items() if k not in held}
    store.jobs.save_answers(store.organisations.default().id, job, {**given, "work_space_in": ["36", "40"]})
    store.close()

    page.goto(f"/jobs/{job}/alarms")
    keys.to(".group > summary")
    was = page.locator(".group").first.get_attribute("open")
    keys.press("Enter")
    assert page.locator(".group").first.get_attribute("open") != was
    keys.to("[data-onward]")
    keys.press("Enter")
    page.wait_for_url("**/review")
    assert "Nothing to fix, nothing to answer" in page.locator("main").inner_text()
    keys.to("main a.button.main")
    keys.press("Enter")
    page.wait_for_url("**/sign")
    keys.to("#name")
    keys.to("#consent")
    keys.press("Space")
    keys.to('main button[name="nobody_home"]')
    keys.press("Enter")
    page.wait_for_url("**/issued")
    keys.to("main a.button.main")
    with page.expect_download() as held_paper:
        keys.press("Enter")
    assert Path(held_paper.value.path()).read_bytes().startswith(b"%PDF")
    assert page.faults == []


@pytest.mark.parametrize(
    "by_hand",
    [("gas", "place"), beyond(("gas", "vent", "place"), why="the same kinds of box by the same keys, in two sections")],
    ids=["some", "all"],
)
def test_every_field_that_gas_a_vent_and_straps_ask_for_by_keyboard(
    person: Callable[..., Page], served: Any, by_hand: tuple[str, ...]
) -> None:
    page = person(width=1280)
    answers = {**job_answers("gas_storage_us_ca"), "address_street": "47 Tabulator Terrace"}
    hand = Keyboard(page)
    hand.whole(answers, begun_but(served, answers, *by_hand))
    assert "Nothing to fix, nothing to answer" in page.locator("main").inner_text()
    hand.sign()
    assert "Certificate C-" in page.locator("h1").inner_text()
    assert page.faults == []
