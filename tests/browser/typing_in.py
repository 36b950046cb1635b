"""How a person fills in a job: the start page, then section after section."""

from __future__ import annotations

import json
from pathlib import Path
from typing import Any

from playwright.sync_api import Locator, Page, expect

from heaterapp.rules import CATALOGUE, SECTIONS

ROOT = Path(__file__).parent.parent.parent
AXE = ROOT / ".cache" / "axe" / "node_modules" / "axe-core" / "axe.min.js"


def job_answers(name: str) -> dict[str, Any]:
    """The answers of a whole job of tests/jobs."""
    whole: dict[str, Any] = json.loads(
        (ROOT / "tests" / "jobs" / f"{name}.json").read_text(encoding="utf-8")
    )["answers"]
    return whole


class Thumb:
    """Counts what a thumb does on a page."""

    def __init__(self, page: Page, scripted: bool = True) -> None:
        self.page, self.scripted, self.taps = page, scripted, 0

    def tap(self, place: Locator) -> None:
        place.click()
        self.taps += 1

    def write(self, place: Locator, text: str) -> None:
        place.fill(text)
        self.taps += 1

    def start(self, answers: dict[str, Any]) -> None:
        """Begin a job and stop at its first section."""
        page = self.page
        page.goto("/jobs/new")
        self.write(page.locator("#address_street"), str(answers["address_street"]))
        self.write(page.locator("#address_city"), str(answers["address_city"]))
        for name in ("heater_kind", "job_kind"):
            self.tap(page.locator(f'label:has(> input[name="{name}"][value="{answers[name]}"])'))
        page.select_option("#place", str(answers["place"]))
        self.tap(page.get_by_role("button", name="Start"))
        page.wait_for_url("**/job")

    def section(self, section: str, answers: dict[str, Any]) -> None:
        """Answer everything of this section that is asked, and wait until it is saved."""
        for _ in range(3):
            if not self._once(section, answers):
                break
            if self.scripted:
                expect(self.page.locator("[data-saved]")).to_contain_text("saved ", timeout=15_000)
            else:
                self.page.click('button[name="go"][value="stay"]')

    def _once(self, section: str, answers: dict[str, Any]) -> int:
        more = self.page.locator("details.more")
        if more.count() and more.get_attribute("open") is None:
            more.locator("> summary").click()
        done = 0
        for name, answer in answers.items():
            question = CATALOGUE.get(name)
            if question is None or question.section != section:
                continue
            box = self.page.locator(f'[data-q="{name}"]')
            if box.count() and box.is_visible() and self._answer(box, name, answer):
                done += 1
        return done

    def _answer(self, box: Locator, name: str, answer: Any) -> bool:
        kind = CATALOGUE[name].kind
        if answer == "not_here" and kind == "number":
            return self._not_here(box, name)
        if kind in ("two_lengths", "lengths"):
            inputs = box.locator(".boxes input")
            if inputs.nth(0).input_value():
                return False
            for at, one in enumerate(answer):
                self.write(inputs.nth(at), str(one))
            return True
        chosen = box.locator(f'label:has(> input[name="{name}"][value="{answer}"])')
        if chosen.count():
            if chosen.locator("input").is_checked():
                return False
            self.tap(chosen)
            return True
        if box.locator("select").count():
            if box.locator("select").input_value() == str(answer):
                return False
            box.locator("select").select_option(str(answer))
            self.taps += 1
            return True
        place = box.locator(f'[name="{name}"]')
        if place.input_value():
            return False
        chip = box.locator(f'.chip[data-value="{answer}"]')
        if chip.count() and chip.is_visible():
            self.tap(chip)
        else:
            self.write(place, str(answer))
        return True

    def _not_here(self, box: Locator, name: str) -> bool:
        pick = box.locator(f'label:has(> input[name="{name}-said"][value="not_here"])')
        if pick.locator("input").is_checked():
            return False
        fold = box.locator("details.excuse")
        if fold.get_attribute("open") is None:
            self.tap(fold.locator("> summary"))
        self.tap(pick)
        return True

    def whole(self, answers: dict[str, Any]) -> list[str]:
        """Fill a job from blank to its review; returns the sections that were shown."""
        self.start(answers)
        shown = []
        while "/review" not in self.page.url:
            section = self.page.url.split("?")[0].split("#")[0].rsplit("/", 1)[1]
            assert section in SECTIONS, self.page.url
            assert section not in shown, f"{section} came twice"
            shown.append(section)
            self.section(section, answers)
            self.tap(self.page.locator('.strip button[name="go"]'))
            self.page.wait_for_load_state()
        return shown

    def sign(self) -> None:
        """Sign by typed name, and issue."""
        self.tap(self.page.locator("main a.button.main"))
        self.page.wait_for_url("**/sign")
        self.tap(self.page.locator('label:has(> input[name="consent"])'))
        self.tap(self.page.get_by_role("button", name="Sign and issue"))
        self.page.wait_for_url("**/issued", timeout=60_000)
