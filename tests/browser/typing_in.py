"""How a person fills in a job: the start page, then section after section."""

from __future__ import annotations

import json
import re
from contextlib import suppress
from pathlib import Path
from typing import Any

from axe_looks import looked_at
from playwright.sync_api import Locator, Page

from heaterapp.filling.usual import USUAL
from heaterapp.rules import CATALOGUE, SECTIONS

ROOT = Path(__file__).parent.parent.parent
AXE = ROOT / ".cache" / "axe" / "node_modules" / "axe-core" / "axe.min.js"

UNFOLD = "() => document.querySelectorAll('details').forEach(one => { one.open = true; })"
RULES = {
    "runOnly": ["wcag2a", "wcag2aa", "wcag21a", "wcag21aa", "wcag22aa", "best-practice"],
    "resultTypes": ["violations"],
}
SAVED = re.compile(r"^saved \d")
# Looked at with every frame: a whole job waits for this word twenty times, and `expect` looks again after half a second.
READS = """([place, pattern]) => [...document.querySelectorAll(place)].some((one) => new RegExp(pattern).test(one.textContent.trim()))"""


def axe_faults(page: Page, name: str) -> list[str]:
    """What axe finds on the page as it stands, every fold open."""
    page.evaluate(UNFOLD)
    if not page.evaluate("typeof axe === 'object'"):
        page.evaluate(AXE.read_text(encoding="utf-8"))
    found = looked_at(page, RULES)
    return [f"{name}: {f['id']} at {f['nodes'][0]['target']}: {f['nodes'][0]['html'][:120]}" for f in found]


def reads(page: Page, place: str, pattern: re.Pattern[str]) -> None:
    """Wait until a place of the page reads so."""
    page.wait_for_function(READS, arg=[place, pattern.pattern])


def job_answers(name: str) -> dict[str, Any]:
    """The answers of a whole job of tests/jobs."""
    whole: dict[str, Any] = json.loads(
        (ROOT / "tests" / "jobs" / f"{name}.json").read_text(encoding="utf-8")
    )["answers"]
    return whole


def begun_but(served: Any, answers: dict[str, Any], *sections: str) -> str:
    """A job in which only these sections are still to be filled in."""
    own = {name: answer for name, answer in answers.items() if name in CATALOGUE}
    return str(served.begun({name: own[name] for name in own if CATALOGUE[name].section not in sections}))


NEXT = """given => {
  const seen = (one) => Boolean(one?.checkVisibility({ visibilityProperty: true }) && one.getClientRects().length);
  const how = (box, name, answer) => {
    const excuse = box.querySelector(`input[name="${name}-said"][value="not_here"]`);
    if (answer === "not_here" && excuse) return !excuse.checked && "not here";
    const several = box.querySelector(".boxes input");
    if (several) return !several.value && "several";
    const pick = box.querySelector(`label > input[name="${name}"][value="${CSS.escape(answer)}"]`);
    if (pick) return !pick.checked && "pick";
    const list = box.querySelector("select");
    if (list) return list.value !== answer && "select";
    const place = box.querySelector(`[name="${name}"]`);
    if (place.type === "radio") return "no such choice";
    if (place.value) return false;
    return seen(box.querySelector(`.chip[data-value="${CSS.escape(answer)}"]`)) ? "chip" : "text";
  };
  for (const box of document.querySelectorAll("[data-q]")) {
    const name = box.dataset.q, way = name in given && seen(box) && how(box, name, given[name]);
    if (way) return [name, way];
  }
  return null;
}"""
"""The next question down the page that is asked and has not its answer yet, and how it is answered."""


class NotAskedAnyMore(Exception):
    """What was judged meanwhile took the question away before a hand came to it."""


# Usual, or folded away once the first verdict is there: on a slow machine it may not be yet.
LEFT_ALONE = frozenset(USUAL) | {"no_leaks_seen", "filled_and_purged"}


class Thumb:
    """Counts what a thumb does on a page."""

    def __init__(self, page: Page, scripted: bool = True, brisk: bool = False) -> None:
        """`brisk`: take what is usual by its one tap, and leave empty what may stay empty."""
        self.page, self.scripted, self.brisk, self.taps = page, scripted, brisk, 0

    def tap(self, place: Locator) -> None:
        place.click()
        self.taps += 1

    def write(self, place: Locator, text: str) -> None:
        place.fill(text)
        self.taps += 1

    def choose(self, place: Locator, value: str) -> None:
        place.select_option(value)
        self.taps += 1

    def start(self, answers: dict[str, Any]) -> None:
        """Begin a job and stop at its first section."""
        self.page.goto("/jobs/new")
        self._starters(answers)
        self.page.wait_for_url("**/job")

    def _starters(self, answers: dict[str, Any]) -> None:
        """The few things a job starts with, on line and on the phone alike."""
        page = self.page
        self.write(page.locator("#address_street"), str(answers["address_street"]))
        if page.locator("#address_city").input_value() != answers["address_city"]:
            self.write(page.locator("#address_city"), str(answers["address_city"]))
        for name in ("heater_kind", "job_kind"):
            pick = page.locator(f'label:has(> input[name="{name}"][value="{answers[name]}"])')
            if not pick.locator("input").is_checked():
                self.tap(pick)
        if page.locator("#place").input_value() != answers["place"]:
            self.choose(page.locator("#place"), str(answers["place"]))
        self.tap(page.locator("main form button.main[type=submit]"))

    def section(self, section: str, answers: dict[str, Any]) -> None:
        """Answer everything of this section that is asked, and wait until it is saved."""
        for _ in range(6):
            done = self._once(section, answers)
            if not done:
                if not self.brisk or not self._usual():
                    break
                continue
            if self.scripted:
                reads(self.page, "[data-saved]", SAVED)
            else:
                # Half of a page that is still coming in would be taken for the whole.
                with self.page.expect_navigation():
                    self.page.click('button[name="go"][value="stay"]')

    def _usual(self) -> bool:
        button = self.page.locator("[data-usual-button]")
        if not button.is_visible():
            return False
        with self.page.expect_navigation():
            self.tap(button)
        return True

    def _once(self, section: str, answers: dict[str, Any]) -> int:
        more = self.page.locator("details.more")
        if self.brisk:
            assert more.get_attribute("open") is None, f"{section} unfolded what may stay empty"
        given = {
            name: str(answer)
            for name, answer in answers.items()
            if name in CATALOGUE and CATALOGUE[name].section == section and not (self.brisk and name in LEFT_ALONE)
        }
        done = 0
        # Asked before each answer: the one before it may have brought a question, or taken one away.
        while True:
            found = self.page.evaluate(NEXT, given)
            if not found:
                if self.brisk or not more.is_visible() or more.get_attribute("open") is not None:
                    return done
                self.tap(more.locator("> summary"))
                continue
            name, how = found
            del given[name]
            with suppress(NotAskedAnyMore):
                self._answer(name, how, answers[name])
                done += 1

    def _answer(self, name: str, how: str, answer: Any) -> None:
        box = self.page.locator(f'[data-q="{name}"]')
        if how == "several":
            inputs = box.locator(".boxes input")
            for at, one in enumerate(answer):
                self.write(inputs.nth(at), str(one))
        elif how == "not here":
            fold = box.locator("details.excuse")
            if fold.get_attribute("open") is None:
                self.tap(fold.locator("> summary"))
            self.tap(box.locator(f'label:has(> input[name="{name}-said"][value="not_here"])'))
        elif how == "pick":
            self.tap(box.locator(f'label:has(> input[name="{name}"][value="{answer}"])'))
        elif how == "select":
            self.choose(box.locator("select"), str(answer))
        elif how == "chip":
            self.tap(box.locator(f'.chip[data-value="{answer}"]'))
        else:
            assert how == "text", f"{name}: {how} as {answer}"
            self.write(box.locator(f'[name="{name}"]'), str(answer))

    def whole(self, answers: dict[str, Any], job: str = "") -> list[str]:
        """Fill a job from blank, or one that is begun, to its review; returns the sections that were shown."""
        if job:
            self.page.goto(f"/jobs/{job}/job")
        else:
            self.start(answers)
        shown = []
        while "/review" not in self.page.url:
            section = self.page.url.split("?")[0].split("#")[0].rsplit("/", 1)[1]
            assert section in SECTIONS, self.page.url
            assert section not in shown, f"{section} came twice"
            shown.append(section)
            self.section(section, answers)
            with self.page.expect_navigation():
                self.tap(self.page.locator('.strip button[value="next"]'))
        return shown

    def sign(self) -> None:
        """Sign by typed name, and issue."""
        self.tap(self.page.locator("main a.button.main"))
        self.page.wait_for_url("**/sign")
        self.tap(self.page.locator('label:has(> input[name="consent"])'))
        self.tap(self.page.get_by_role("button", name="Sign with nobody home"))
        self.page.wait_for_url("**/issued")


STANDS = """e => { const at = document.activeElement;
  if (!e.isConnected) return "replaced";
  if (e !== at && !(at.type === "radio" && at.name === e.name)) {
    if (e.closest("[hidden]")) return "asked no more";
    return at.compareDocumentPosition(e) & Node.DOCUMENT_POSITION_PRECEDING ? "behind" : "ahead";
  }
  const b = (at.closest(".pick") ?? at).getBoundingClientRect(), strip = document.querySelector("[data-strip]");
  const foot = strip && !strip.contains(at) ? strip.getBoundingClientRect().top : innerHeight;
  return b.top >= 0 && b.top < foot ? "here" : "out of sight"; }"""
"""Where a place is, seen from the focus, in one question: a whole job is some three thousand stops."""
TURN = {"ahead": "Tab", "behind": "Shift+Tab"}


class Keyboard(Thumb):
    """The same person with a keyboard and nothing else; every stop must be in view, above the strip."""

    def _to(self, place: Locator) -> None:
        # Asked before every key: an answer that comes back may have moved the place, or the need for it.
        one = place.element_handle()
        for _ in range(200):
            stands = one.evaluate(STANDS)
            if stands == "here":
                return
            if stands == "replaced":
                one = place.element_handle()
                continue
            if stands == "asked no more":
                raise NotAskedAnyMore(str(place))
            assert stands in TURN, f"{place} has the focus {stands}"
            self.page.keyboard.press(TURN[stands])
        held = self.page.evaluate("() => document.activeElement.outerHTML.slice(0, 200)")
        raise AssertionError(f"Tab never reached {place}; the focus is at {held}")

    def tap(self, place: Locator) -> None:
        inside = place.locator("input")
        target = inside if inside.count() else place
        self._to(target)
        self.taps += 1
        if target.get_attribute("type") != "radio":
            self.page.keyboard.press("Space" if inside.count() else "Enter")
            return
        self.page.keyboard.press("Space")
        for _ in range(30):
            if target.is_checked():
                return
            self.page.keyboard.press("ArrowDown")
        raise AssertionError(f"the arrows never reached {target}")

    def write(self, place: Locator, text: str) -> None:
        self._to(place)
        self.taps += 1
        if place.get_attribute("type") == "date":
            year, month, day = text.split("-")
            self.page.keyboard.type(month + day + year)
            return
        self.page.keyboard.press("Control+a")
        self.page.keyboard.type(text)

    def choose(self, place: Locator, value: str) -> None:
        self._to(place)
        self.taps += 1
        self.page.keyboard.press("Home")
        for _ in range(place.locator("option").count()):
            if place.input_value() == value:
                return
            self.page.keyboard.press("ArrowDown")
        raise AssertionError(f"{value} is not among the choices of {place}")
