"""What an inspector accepts on the spot is recorded on the phone, kept with the job, and taken back."""

from __future__ import annotations

import sys
from collections.abc import Callable
from pathlib import Path

import pytest
from playwright.sync_api import Page, expect

sys.path.insert(0, str(Path(__file__).parent))

from phone_views import draft, opened, show, signed
from typing_in import axe_faults, job_answers

pytestmark = pytest.mark.browser


def test_what_the_authority_accepted_is_recorded_kept_and_taken_back(person: Callable[..., Page]) -> None:
    page = person("riley")
    opened(page, [draft("fix", job_answers("gas_storage_to_fix"))])
    show(page, "fix/review")
    fixes = page.locator("[data-count=fix]")
    before = int(fixes.inner_text())
    fold = page.locator("details.taken-form").first
    fold.locator("summary").click()
    fold.get_by_role("button", name="Record it").click()
    expect(fold.get_by_role("alert")).to_contain_text("all three")
    fold.get_by_label("Who accepted it").fill("Port Larkin inspector")
    fold.get_by_label("On which day").fill("2026-11-25")
    fold.get_by_label("Why").fill("Agreed on site")
    page.route("**/phone/api/judge", lambda route: route.abort())
    fold.get_by_role("button", name="Record it").click()
    expect(fold.get_by_role("alert")).to_contain_text("It was not recorded: no connection.")
    page.unroute("**/phone/api/judge")
    assert axe_faults(page, "accepting") == []
    fold.get_by_role("button", name="Record it").click()
    expect(fixes).to_have_text(str(before - 1))
    page.reload()
    show(page, "fix/review")
    expect(fixes).to_have_text(str(before - 1))
    held = page.locator("details.taken-form", has_text="change or take back")
    held.locator("summary").click()
    expect(held.get_by_label("Who accepted it")).to_have_value("Port Larkin inspector")
    held.get_by_role("button", name="Take it back").click()
    expect(fixes).to_have_text(str(before))
    # One call was cut off here.
    assert [one for one in page.faults if "ERR_FAILED" not in one] == []


def test_a_signed_job_takes_no_acceptance(person: Callable[..., Page]) -> None:
    page = person("riley")
    fix = job_answers("gas_storage_to_fix")
    opened(page, [{**signed("signed", "1 Ready Road"), "answers": fix}, draft("fix", fix)])
    show(page, "fix/review")
    assert page.locator(".taken-form").count()
    show(page, "signed/review")
    expect(page.locator("[data-review-html] h2").first).to_be_visible()
    assert page.locator(".taken-form").count() == 0
