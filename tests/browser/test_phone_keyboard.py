"""A whole job on the phone's pages by keyboard alone, from the list of jobs to the paper, signing included.

The suite types a few sections, in which every kind of box comes; `--whole` all.
"""

from __future__ import annotations

import re
import sys
from collections.abc import Callable
from pathlib import Path

import pytest
from playwright.sync_api import Page, expect

sys.path.insert(0, str(Path(__file__).parent))

from on_phone import PhoneThumb
from phone_views import READY
from typing_in import Keyboard, job_answers

from heaterapp.rules import SECTIONS
from tests.sweeps import beyond

pytestmark = pytest.mark.browser


class PhoneKeyboard(Keyboard, PhoneThumb):
    """A keyboard and nothing else, on the phone's own pages."""


@pytest.mark.parametrize(
    ("by_hand", "taps"),
    [(("job", "electric", "alarms"), 30), beyond(SECTIONS, 50, why="the same kinds of box by the same hand, in three sections")],
    ids=["some", "all"],
)
def test_a_whole_electric_job_and_its_signature_by_keyboard(
    person: Callable[..., Page], by_hand: tuple[str, ...], taps: int
) -> None:
    page = person("riley", 1280)
    page.context.route("**/phone/engine/**", lambda route: route.abort())
    page.goto("/phone/")
    page.wait_for_function(READY)
    hand = PhoneKeyboard(page, brisk=True)
    answers = {**job_answers("electric_storage_us_ca"), "address_street": "48 Tabulator Terrace", "breaker_a": 30}
    hand.begin(answers)
    hand.leave_out(answers, by_hand)
    while "/review" not in page.url:
        expect(page.locator("#main h1")).to_be_focused()
        hand.section(hand.here(), answers)
        hand.go_on()
    expect(page.locator("[data-lead]")).to_have_text("Nothing to fix, nothing to answer.")
    hand.sign("signs")
    expect(page.locator("[data-sent]")).to_contain_text(re.compile("Certificate C-"))
    assert hand.taps > taps
