"""Verdicts while one types, honest words about saving, two devices on one job."""

from __future__ import annotations

from collections.abc import Callable
from typing import Any

import pytest
from playwright.sync_api import Page, expect

pytestmark = pytest.mark.browser


def _job(served: Any, **answers: Any) -> str:
    base = {"heater_kind": "gas_storage", "place": "model_upc_2024", "expansion_device": "tank", "expansion_tank_gal": "2",
            "storage_gal": "50", "thermostat_f": "140", "prv_fitted": "yes", "prv_setting_psi": "60", "relief_fitted": "yes", "relief_pressure_psi": "150"}  # fmt: skip
    return str(served.begun({**base, **answers}))


def test_the_verdict_arrives_while_typing(person: Callable[..., Page], served: Any) -> None:
    page, job = person(), _job(served)
    page.goto(f"/jobs/{job}/water")
    page.locator("#q-house_pressure_psi").press_sequentially("60")
    page.locator("#q-precharge_psi").press_sequentially("40")
    means = page.locator("[data-section-html]")
    expect(means).to_contain_text("Set tank air to")
    expect(means).to_contain_text("The pressure would reach 150 psi, where the relief valve opens")
    expect(means).to_contain_text("Tank needs at least 4 gal")
    expect(page.locator("[data-saved]")).to_contain_text("saved ")
    page.locator("#q-precharge_psi").fill("60")
    expect(page.locator('[data-said="precharge_psi"]')).to_contain_text("matches the house pressure")
    assert page.locator("#q-precharge_psi").input_value() == "60"
    assert page.faults == []


def test_what_cannot_be_read_is_named_and_kept_on_the_page(person: Callable[..., Page], served: Any) -> None:
    page, job = person(), _job(served)
    page.goto(f"/jobs/{job}/water")
    page.locator("#q-house_pressure_psi").fill("sixty")
    expect(page.locator("#e-house_pressure_psi")).to_contain_text("expected a number in psi")
    assert page.locator("#q-house_pressure_psi").input_value() == "sixty"
    assert "house_pressure_psi" not in served.stored(job)


def test_a_broken_connection_says_not_saved_and_sends_when_it_is_back(
    person: Callable[..., Page], served: Any
) -> None:
    page, job = person(), _job(served)
    page.goto(f"/jobs/{job}/water")
    page.context.set_offline(True)
    page.locator("#q-house_pressure_psi").fill("72")
    expect(page.locator("[data-saved]")).to_contain_text("not saved")
    page.context.set_offline(False)
    expect(page.locator("[data-saved]")).to_contain_text("saved ")
    expect(page.locator("[data-saved]")).not_to_contain_text("not saved")
    assert served.stored(job)["house_pressure_psi"] == "72"


def test_two_devices_lose_nothing(person: Callable[..., Page], served: Any) -> None:
    job = _job(served)
    one, other = person(), person()
    for page in (one, other):
        page.goto(f"/jobs/{job}/water")
    one.locator("#q-house_pressure_psi").fill("60")
    expect(one.locator("[data-saved]")).to_contain_text("saved ")
    other.locator("#q-house_pressure_psi").fill("70")
    expect(other.locator("#e-house_pressure_psi")).to_contain_text(
        "meanwhile 60 psi was saved from another device"
    )
    assert other.locator("#q-house_pressure_psi").input_value() == "70"
    assert served.stored(job)["house_pressure_psi"] == "60"
    other.locator("#q-house_pressure_psi").fill("71")
    expect(other.locator("[data-saved]")).to_contain_text("saved ")
    assert served.stored(job)["house_pressure_psi"] == "71"


def test_what_cannot_be_read_leaves_no_old_verdict_standing(person: Callable[..., Page], served: Any) -> None:
    page, job = person(), _job(served, house_pressure_psi="62")
    page.goto(f"/jobs/{job}/water")
    page.locator('details.group:has([data-q="house_pressure_psi"]) > summary').click()
    means = page.locator("[data-section-html]")
    under = page.locator('[data-q="house_pressure_psi"] [data-said]')
    expect(means).to_contain_text("Set tank air to 62 psi")
    expect(under).to_contain_text("Meets")
    page.fill("#q-house_pressure_psi", "95x")
    expect(page.locator("#e-house_pressure_psi")).to_contain_text("psi")
    for _ in range(2):
        expect(means).not_to_contain_text("62 psi")
        expect(under).not_to_contain_text("Meets")
        page.fill("#q-precharge_psi", "40")
        expect(page.locator("[data-saved]")).to_contain_text("but not the 1 marked above")
    assert served.stored(job)["house_pressure_psi"] == "62"
    page.fill("#q-house_pressure_psi", "63")
    expect(means).to_contain_text("Set tank air to 63 psi")


def test_a_pipe_section_is_judged_and_saved_once_its_row_is_whole(
    person: Callable[..., Page], served: Any
) -> None:
    pipe = {"job_kind": "new", "gas_kind": "natural", "gas_pipe_material": "steel", "gas_pipe_in": "1", "gas_pipe_length_ft": "40",
            "input_btuh": "40000", "gas_pipe_total_btuh": "40000"}  # fmt: skip
    page, job = person(), _job(served, **pipe)
    page.goto(f"/jobs/{job}/gas")
    size, load = (page.locator(f'[name="gas_sections-1-{part}"]') for part in ("in", "btuh"))
    page.locator("details", has=size).evaluate_all("folds => folds.forEach(fold => fold.open = true)")
    size.fill("1/2")
    load.fill("90000")
    expect(page.locator("[data-section-html]")).to_contain_text("The 1/2 in section feeds 90,000 Btu/h")
    expect(page.locator("[data-saved]")).to_contain_text("saved ")
    assert [{k: str(v) for k, v in row.items()} for row in served.stored(job)["gas_sections"]] == [{"in": "0.5", "btuh": "90000"}]
    page.reload()
    assert load.input_value() == "90,000"
    assert page.faults == []


def test_half_an_answer_is_not_saved_and_no_verdict_rests_on_the_one_before(
    person: Callable[..., Page], served: Any
) -> None:
    page, job = person(), served.begun({"heater_kind": "gas_storage", "job_kind": "same_place", "place": "us_ca_2022", "house_pressure_psi": "60", "prv_fitted": "no"})
    page.goto(f"/jobs/{job}/water")
    page.evaluate("document.querySelectorAll('details').forEach(one => { one.open = true; })")
    said = page.locator('[data-said="house_pressure_psi"]')
    expect(said).to_contain_text("80 psi")
    box = page.locator('[data-q="house_pressure_psi"]')
    box.locator('label:has(> input[value="could_not_measure"])').click()
    expect(page.locator("[data-saved]")).to_contain_text("but not what is only half said")
    expect(said).not_to_contain_text("80 psi")
    page.locator('label:has(> input[name="bottom_fed"][value="no"]), label:has(> input[name="prv_fitted"][value="no"])').first.click()
    expect(box.locator(".error")).to_contain_text("expected")
    expect(page.locator("[data-saved]")).to_contain_text("but not the 1 marked above")
    box.locator('input[name="house_pressure_psi-why"]').fill("no gauge")
    expect(box.locator(".error")).to_be_hidden()
    assert served.stored(job)["house_pressure_psi"] == {"could_not_measure": "no gauge"}
    assert page.faults == []
