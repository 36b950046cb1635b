"""One tap for what a thumb types badly: eighths of an inch, today's date, what is usual."""

from __future__ import annotations

from collections.abc import Callable
from typing import Any

import pytest
from playwright.sync_api import Page, expect

pytestmark = pytest.mark.browser
START = {"heater_kind": "gas_storage", "job_kind": "same_place", "place": "us_ca_2022"}
RELIEF = {**START, "relief_fitted": "yes", "relief_end": "outdoors"}


def _job(served: Any, answers: dict[str, Any]) -> str:
    return str(served.begun(answers))


EIGHTHS = (
    ("14", "3/8", "14 3/8"), ("", "1/2", "1/2"), ("14 1/8", "3/4", "14 3/4"), ("14.5", "0/8, no fraction", "14"), ("1' 2", "5/8", "1' 2 5/8"),
    ("3/4", "1/8", "1/8"),
)  # fmt: skip


def test_an_eighth_is_one_tap(person: Callable[..., Page], served: Any) -> None:
    page = person()
    page.goto(f"/jobs/{_job(served, {**START, 'room': 'garage'})}/place")
    box = page.locator("#q-tank_height_in")
    for typed, eighth, stands in EIGHTHS:
        page.evaluate("document.activeElement.blur()")
        box.fill(typed)
        page.locator('[data-q="tank_height_in"]').get_by_role("button", name=eighth, exact=True).click()
        assert box.input_value() == stands, (typed, eighth)
        assert page.evaluate("document.activeElement.id") == "q-tank_height_in"
    assert page.faults == []


def test_today_is_one_tap_and_is_this_device_s_day(person: Callable[..., Page], served: Any) -> None:
    begun = {**START, "address_street": "8 Tide Street", "address_city": "Port Larkin"}
    page, job = person(), _job(served, begun)
    page.goto(f"/jobs/{job}/job")
    page.locator('details.group:not([open]):has([data-q="work_date"]) > summary').click()
    page.get_by_role("button", name="Today").click()
    here = page.evaluate("new Date().toLocaleDateString('sv')")
    assert page.locator("#q-work_date").input_value() == here
    expect(page.locator("[data-saved]")).to_contain_text("saved ")
    assert page.faults == []


@pytest.mark.parametrize("script", [True, False])
def test_as_usual_fills_says_so_and_gives_way_to_what_is_found(
    person: Callable[..., Page], served: Any, script: bool
) -> None:
    page, job = person(script=script), _job(served, RELIEF)
    page.goto(f"/jobs/{job}/relief")
    page.locator("[data-usual-button]").click()
    page.wait_for_url("**/relief")
    expect(page.locator("[data-usual-button]")).to_be_hidden()
    expect(page.locator('[data-said="relief_trap"]')).to_contain_text("Accepted as usual, not measured")
    kept = served.stored(job)
    assert kept["relief_pressure_psi"] == "150"
    assert "relief_trap" in kept["accepted_as_usual"]
    assert "relief_end_height_in" not in kept
    page.locator('label:has(> input[name="relief_trap"][value="yes"])').click()
    if not script:
        page.locator('.strip button[value="next"]').click()
        page.goto(f"/jobs/{job}/relief")
    expect(page.locator('[data-said="relief_trap"]')).not_to_contain_text("Accepted as usual")
    kept = served.stored(job)
    assert kept["relief_trap"] == "yes"
    assert "relief_trap" not in kept["accepted_as_usual"]


def test_the_offer_follows_what_is_answered(person: Callable[..., Page], served: Any) -> None:
    page, job = person(), _job(served, START)
    page.goto(f"/jobs/{job}/relief")
    expect(page.locator("[data-usual-button]")).to_be_hidden()
    page.locator('label:has(> input[name="relief_fitted"][value="yes"])').click()
    expect(page.locator("[data-usual-button]")).to_be_visible()
    expect(page.locator("[data-usual] li").filter(has_text="Relief valve pressure setting")).to_have_count(1)
    assert page.faults == []


VENT = {**START, "draft_kind": "draft_hood", "vent_kind": "type_b", "vent_end": "roof", "connector_kind": "single_wall", "vent_shared": "yes"}
PIPE = {**START, "new_gas_piping": "yes", "gas_kind": "natural"}


def _unfolded(page: Page) -> None:
    page.evaluate("document.querySelectorAll('details.group').forEach(one => { one.open = true; })")


def test_of_a_shared_vent_one_diameter_is_asked_in_view_and_in_whole_inches(
    person: Callable[..., Page], served: Any
) -> None:
    page, job = person(), _job(served, VENT)
    page.goto(f"/jobs/{job}/vent")
    _unfolded(page)
    expect(page.locator('[data-q="vent_diameter_in"]')).to_be_hidden()
    common = page.locator('[data-q="common_vent_diameter_in"]')
    expect(common).to_be_visible()
    assert page.locator("details.more").get_by_text("Common vent diameter").count() == 0
    assert common.locator(".chip").all_inner_texts() == ["4", "5", "6", "7", "8"]
    common.locator("#q-common_vent_diameter_in").click()
    assert page.locator(".eighths").count() == 0
    common.get_by_role("button", name="6", exact=True).click()
    expect(page.locator("[data-saved]")).to_contain_text("saved ")
    assert served.stored(job)["common_vent_diameter_in"] == "6"
    order = page.locator(".questions [data-q]").evaluate_all("all => all.map(one => one.dataset.q)")
    assert order.index("vent_shared") < order.index("vent_diameter_in") < order.index("common_vent_diameter_in") < order.index("other_vent_kind")
    assert page.faults == []


def test_when_it_turns_out_shared_the_other_diameter_takes_its_place(
    person: Callable[..., Page], served: Any
) -> None:
    page, job = person(), _job(served, {**VENT, "vent_shared": "no"})
    page.goto(f"/jobs/{job}/vent")
    _unfolded(page)
    expect(page.locator('[data-q="vent_diameter_in"]')).to_be_visible()
    expect(page.locator('[data-q="common_vent_diameter_in"]')).to_be_hidden()
    page.locator('label:has(> input[name="vent_shared"][value="yes"])').click()
    expect(page.locator('[data-q="common_vent_diameter_in"]')).to_be_visible()
    expect(page.locator('[data-q="vent_diameter_in"]')).to_be_hidden()
    assert page.faults == []


def test_pipe_sizes_are_offered_as_they_are_bought(person: Callable[..., Page], served: Any) -> None:
    page, job = person(), _job(served, PIPE)
    page.goto(f"/jobs/{job}/gas")
    _unfolded(page)
    more = page.locator("details.more > summary")
    if more.is_visible():
        more.click()
    assert page.locator('[data-q="gas_pipe_in"] .chip').all_inner_texts() == ["1/2", "3/4", "1", "1 1/4"]
    sections = page.locator('[data-q="gas_sections"]')
    first = sections.locator('[name="gas_sections-1-in"]')
    first.click()
    assert sections.locator(".eighths .chip").all_inner_texts() == ["1/2", "3/4", "1", "1 1/4", "1 1/2", "2"]
    sections.get_by_role("button", name="1 1/4", exact=True).click()
    sections.get_by_role("button", name="1 1/2", exact=True).click()
    assert first.input_value() == "1 1/2"
    sections.locator('[name="gas_sections-1-btuh"]').fill("240,000")
    expect(page.locator("[data-saved]")).to_contain_text("saved ")
    assert served.stored(job)["gas_sections"] == [{"btuh": "240000", "in": "1.5"}]
    assert page.faults == []
