"""A signature drawn on the pad: its shape is kept, it can be cleared, and it reaches the record."""

from __future__ import annotations

import json
import sys
from collections.abc import Callable
from pathlib import Path
from typing import Any

import pytest
from playwright.sync_api import Page

sys.path.insert(0, str(Path(__file__).parent))

from typing_in import job_answers

pytestmark = pytest.mark.browser


@pytest.fixture
def job(served: Any) -> str:
    store = served.store()
    firm = store.organisations.default()
    answers = {**job_answers("gas_storage_us_ca"), "address_street": "17 Inkwell Lane"}
    made = store.jobs.create(firm.id, store.people.by_login(firm.id, "riley").id, answers)
    store.close()
    return str(made.id)


def _stroke(page: Page, *corners: tuple[int, int]) -> None:
    pad = page.locator("canvas").first.bounding_box()
    assert pad
    page.mouse.move(pad["x"] + corners[0][0], pad["y"] + corners[0][1])
    page.mouse.down()
    for x, y in corners[1:]:
        page.mouse.move(pad["x"] + x, pad["y"] + y, steps=5)
    page.mouse.up()


def _strokes(page: Page) -> list[list[list[int]]]:
    text = page.locator('input[name="strokes"]').input_value()
    return json.loads(text) if text else []


@pytest.mark.parametrize("width", [360, 1280])
def test_a_square_stays_square_on_any_pad(person: Callable[..., Page], job: str, width: int) -> None:
    page = person("riley", width)
    page.goto(f"/jobs/{job}/sign")
    page.locator("canvas").first.scroll_into_view_if_needed()
    _stroke(page, (20, 20), (120, 20), (120, 120), (20, 120), (20, 20))
    (drawn,) = _strokes(page)
    xs, ys = [p[0] for p in drawn], [p[1] for p in drawn]
    assert abs((max(xs) - min(xs)) - (max(ys) - min(ys))) <= 100
    assert all(type(value) is int and 0 <= value <= 10_000 for p in drawn for value in p[:2])
    times = [p[2] for p in drawn]
    assert times[0] == 0
    assert times == sorted(times)


def test_cleared_drawn_again_and_signed(person: Callable[..., Page], served: Any, job: str) -> None:
    page = person()
    page.goto(f"/jobs/{job}/sign")
    page.locator("canvas").first.scroll_into_view_if_needed()
    _stroke(page, (10, 10), (60, 60))
    page.get_by_role("button", name="Clear the signature").first.click()
    assert _strokes(page) == []
    page.locator("canvas").first.scroll_into_view_if_needed()
    _stroke(page, (30, 40), (90, 30), (150, 60))
    _stroke(page, (40, 80), (160, 80))
    drawn = _strokes(page)
    assert len(drawn) == 2
    page.locator('label:has(> input[name="consent"])').click()
    page.locator('label:has(> input[value="not_home"])').click()
    page.get_by_role("button", name="Sign and issue").click()
    page.wait_for_url("**/issued")
    store = served.store()
    signed = store.jobs.get(store.organisations.default().id, job).signature["signatures"][0]
    store.close()
    assert (signed["method"], signed["strokes"]) == ("drawn", drawn)
    assert page.faults == []
