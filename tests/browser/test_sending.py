"""What is typed reaches the archive: on a slow line, after a refusal, on the way out of the page, from two devices."""

from __future__ import annotations

import re
from collections.abc import Callable
from contextlib import suppress
from typing import Any

import pytest
from playwright.sync_api import APIResponse, Error, Page, Route, expect

pytestmark = pytest.mark.browser
BASE = {
    "heater_kind": "gas_storage", "place": "model_upc_2024", "expansion_device": "tank", "storage_gal": "50",
    "thermostat_f": "140", "prv_fitted": "yes", "relief_fitted": "yes", "relief_pressure_psi": "150",
}  # fmt: skip


@pytest.fixture
def job(served: Any) -> str:
    return str(served.begun(BASE))


def test_going_on_while_a_parcel_is_underway_is_no_clash(
    person: Callable[..., Page], served: Any, job: str
) -> None:
    page = person()
    page.goto(f"/jobs/{job}/water")
    held: list[tuple[Route, APIResponse]] = []

    def taken_but_not_told(route: Route) -> None:
        if held:
            route.continue_()
        else:
            held.append((route, route.fetch()))

    page.route("**/answers", taken_but_not_told)
    page.locator("#q-house_pressure_psi").fill("7")
    while not held:
        page.wait_for_timeout(50)
    assert served.stored(job)["house_pressure_psi"] == "7"
    page.locator("#q-house_pressure_psi").fill("72")
    page.locator("[data-onward]").click(no_wait_after=True)
    page.wait_for_timeout(300)
    route, answer = held[0]
    with suppress(Error):
        route.fulfill(response=answer)
    page.wait_for_url(lambda url: not url.endswith("/water"))
    assert served.stored(job)["house_pressure_psi"] == "72"
    assert page.faults == []


def test_leaving_at_once_leaves_nothing_behind(person: Callable[..., Page], served: Any, job: str) -> None:
    page = person()
    page.goto(f"/jobs/{job}/water")
    page.locator("#q-house_pressure_psi").fill("66")
    page.goto("/jobs")
    for _ in range(30):
        if "house_pressure_psi" in served.stored(job):
            break
        page.wait_for_timeout(100)
    assert served.stored(job)["house_pressure_psi"] == "66"


def test_what_the_server_refused_is_said_and_goes_with_the_next_answer(
    person: Callable[..., Page], served: Any, job: str
) -> None:
    page = person()
    page.goto(f"/jobs/{job}/water")
    page.route("**/answers", lambda route: route.fulfill(status=403, json={"error": "Not now."}), times=1)
    page.locator('label:has(> input[name="cold_shutoff"][value="full_way"])').click()
    saved = page.locator("[data-saved]")
    expect(saved).to_have_text("not saved: Not now.")
    assert "cold_shutoff" not in served.stored(job)
    page.locator("#q-precharge_psi").fill("61")
    expect(saved).to_have_text(re.compile(r"^saved \d"))
    held = served.stored(job)
    assert (held["cold_shutoff"], held["precharge_psi"]) == ("full_way", "61")


def test_an_unreadable_answer_is_never_counted_as_saved(
    person: Callable[..., Page], served: Any, job: str
) -> None:
    page = person()
    page.goto(f"/jobs/{job}/water")
    box = page.locator("#q-house_pressure_psi")
    box.fill("sixty")
    saved = page.locator("[data-saved]")
    expect(saved).to_contain_text("but not the 1 marked above")
    expect(box).to_have_attribute("aria-invalid", "true")
    page.locator("#q-precharge_psi").fill("60")
    expect(page.locator('[data-said="precharge_psi"]')).to_be_attached()
    expect(saved).to_contain_text("but not the 1 marked above")
    box.fill("60")
    expect(saved).not_to_contain_text("but not")
    expect(box).not_to_have_attribute("aria-invalid", "true")


def test_counts_of_this_and_of_the_section_follow(person: Callable[..., Page], job: str) -> None:
    page = person()
    page.goto(f"/jobs/{job}/water")
    fix, tally = page.locator('[data-count="fix"]'), page.locator('[data-tally="water"]')
    was = int(fix.inner_text())
    page.locator("#q-house_pressure_psi").fill("110")
    expect(fix).not_to_have_text(str(was))
    expect(tally).to_contain_text("to fix")
    page.locator("#q-house_pressure_psi").fill("60")
    expect(fix).to_have_text(str(was))
    assert page.faults == []


def test_another_devices_answer_appears_and_is_not_undone(
    person: Callable[..., Page], served: Any, job: str
) -> None:
    one, other = person(), person()
    for page in (one, other):
        page.goto(f"/jobs/{job}/water")
    one.locator("#q-house_pressure_psi").fill("64")
    expect(one.locator("[data-saved]")).to_contain_text("saved ")
    one.locator('label:has(> input[name="expansion_device"][value="none"])').click()
    expect(one.locator('[data-q="expansion_tank_gal"]')).to_be_hidden()
    other.locator("#q-precharge_psi").fill("55")
    expect(other.locator("#q-house_pressure_psi")).to_have_value("64")
    expect(other.locator('input[name="expansion_device"][value="none"]')).to_be_checked()
    other.locator("[data-onward]").click()
    other.wait_for_url(lambda url: not url.endswith("/water"))
    held = served.stored(job)
    assert (held["house_pressure_psi"], held["expansion_device"]) == ("64", "none")


@pytest.mark.parametrize(("button", "kept"), [("Take 60 psi", "60"), ("Keep mine", "70")])
def test_of_two_answers_one_tap_takes_either(
    person: Callable[..., Page], served: Any, job: str, button: str, kept: str
) -> None:
    one, other = person(), person()
    for page in (one, other):
        page.goto(f"/jobs/{job}/water")
    one.locator("#q-house_pressure_psi").fill("60")
    expect(one.locator("[data-saved]")).to_contain_text("saved ")
    other.locator("#q-house_pressure_psi").fill("70")
    expect(other.locator("#e-house_pressure_psi")).to_contain_text("meanwhile 60 psi was saved")
    other.get_by_role("button", name=button).click()
    expect(other.locator("#e-house_pressure_psi")).to_be_hidden()
    expect(other.locator("#q-house_pressure_psi")).to_have_value(kept)
    other.locator("[data-onward]").click()
    other.wait_for_url(lambda url: not url.endswith("/water"))
    assert served.stored(job)["house_pressure_psi"] == kept
