"""A tap that comes right after the one before it is the same tap: a gloved hand loses no answer; a later one clears it."""

from __future__ import annotations

from collections.abc import Callable
from typing import Any

import pytest
from playwright.sync_api import Page, expect

pytestmark = pytest.mark.browser


def test_a_double_tap_keeps_the_answer_and_a_later_tap_takes_it_away(
    person: Callable[..., Page], served: Any
) -> None:
    page = person()
    job = served.begun({"heater_kind": "gas_storage", "place": "model_upc_2024"})
    page.goto(f"/jobs/{job}/water")
    yes = page.locator('label:has(> input[name="prv_fitted"][value="yes"])')
    chosen = page.locator('input[name="prv_fitted"][value="yes"]')
    yes.dblclick()
    expect(chosen).to_be_checked()
    page.wait_for_timeout(700)
    yes.click()
    expect(chosen).not_to_be_checked()
