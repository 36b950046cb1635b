"""How a person works on the phone's own pages: a real browser with a profile that outlives it, on a line that can be cut."""

from __future__ import annotations

import os
import re
import signal
from collections.abc import Iterator
from contextlib import contextmanager, suppress
from pathlib import Path
from typing import Any

from conftest import BASELINE, CHROMIUM, FLAGS, PASSWORD, SHELL, SLOW_MS, sign_in_once
from phone_views import put
from playwright.sync_api import Browser, BrowserContext, BrowserType, Page, expect
from replaced import ALL
from typing_in import Thumb, reads

from heaterapp.languages import translate
from heaterapp.rules import CATALOGUE

KEPT = re.compile(r"^saved on this phone \d")
READY = "() => document.documentElement.dataset.ready === 'yes'"
BY_ITSELF = "Judges on this phone"
DUMP = """async () => {
  const kept = [];
  for (const { name } of await indexedDB.databases()) {
    const base = await new Promise((done) => { const asked = indexedDB.open(name); asked.onsuccess = () => done(asked.result); });
    for (const shelf of base.objectStoreNames) {
      const rows = await new Promise((done) => { const asked = base.transaction(shelf).objectStore(shelf).getAll(); asked.onsuccess = () => done(asked.result); });
      kept.push([`${name}/${shelf}`, JSON.stringify(rows)]);
    }
    base.close();
  }
  for (const name of await caches.keys()) {
    const shelf = await caches.open(name);
    for (const request of await shelf.keys()) {
      const answer = await shelf.match(request);
      kept.push([request.url, (answer.headers.get("Content-Type") ?? "").match(/json|text|script/) ? await answer.text() : ""]);
    }
  }
  for (const shelf of [localStorage, sessionStorage]) kept.push(["storage", JSON.stringify({ ...shelf })]);
  return kept;
}"""


class Phone:
    """A phone: one profile of one browser, started, closed and killed as often as one likes."""

    def __init__(self, chromium: BrowserType | Browser, folder: Path, url: str, whole: bool = False) -> None:
        """Make a phone that is off.

        chromium  a Browser that runs is enough for a phone that is started once: its profile is gone when it is closed
        whole     the browser with its windows, at twice the cost
        """
        self.chromium, self.folder, self.url = chromium, folder, url
        self.program = SHELL if not whole and Path(SHELL).exists() else CHROMIUM
        self.flags = FLAGS if whole else [*FLAGS, BASELINE]
        self.context: BrowserContext | None = None
        self.faults: list[str] = []

    def start(self, at: str = "/phone/") -> Page:
        """Start the browser and open a page of the app."""
        given: dict[str, Any] = {"viewport": {"width": 360, "height": 740}, "base_url": self.url, "has_touch": True}
        if isinstance(self.chromium, Browser):
            self.context = self.chromium.new_context(**given)
            page = self.context.new_page()
        else:
            self.context = self.chromium.launch_persistent_context(
                str(self.folder), executable_path=self.program, args=self.flags, **given
            )
            page = self.context.pages[0]
        self.context.set_default_timeout(SLOW_MS)
        page.on("pageerror", lambda fault: self.faults.append(str(fault)))
        page.goto(at)
        return page

    def at_the_list(self, cookies: dict[str, list[Any]], login: str = "riley") -> Page:
        """Start at the list of jobs, signed in as in another test before where there was one."""
        page = self.start("/healthz")
        sign_in_once(page, login, cookies)
        page.goto("/phone/")
        self.ready(page)
        return page

    def sign_in(self, page: Page, login: str = "riley") -> None:
        """Sign in and go to the phone's pages."""
        page.goto("/sign-in?next=/phone/")
        page.fill("#login", login)
        page.fill("#password", PASSWORD)
        page.click("main button[type=submit]")
        page.wait_for_url("**/phone/**")
        self.ready(page)

    def ready(self, page: Page) -> None:
        page.wait_for_function(READY)

    def alone(self, page: Page, words: str = BY_ITSELF) -> None:
        """Wait until this phone opens and judges without a connection."""
        expect(page.locator("[data-engine]")).to_contain_text(words, timeout=120_000)
        page.evaluate("async () => { await navigator.serviceWorker.ready; }")

    def close(self) -> None:
        """Close the browser as a person does."""
        if self.context:
            self.context.close()
            self.context = None

    def kill(self) -> None:
        """End every process of this browser at once, with no word of warning."""
        for one in self._processes():
            _end(one)
        with suppress(Exception):
            self.context.close()
        self.context = None
        for lock in self.folder.glob("Singleton*"):
            lock.unlink(missing_ok=True)

    def _processes(self) -> list[int]:
        """The browser that runs on this profile, and all that descends from it."""
        parents: dict[int, int] = {}
        first = set()
        for folder in Path("/proc").glob("[0-9]*"):
            with suppress(OSError):
                pid = int(folder.name)
                parents[pid] = int((folder / "stat").read_text().rpartition(")")[2].split()[1])
                if f"--user-data-dir={self.folder}".encode() in (folder / "cmdline").read_bytes():
                    first.add(pid)

        def ours(pid: int) -> bool:
            while pid and pid not in first:
                pid = parents.get(pid, 0)
            return bool(pid)

        return [pid for pid in parents if ours(pid)]


def _end(pid: int) -> None:
    with suppress(ProcessLookupError):
        os.kill(pid, signal.SIGKILL)


@contextmanager
def phone(chromium: BrowserType | Browser, folder: Path, url: str, whole: bool = False) -> Iterator[Phone]:
    """A phone that is closed in the end."""
    one = Phone(chromium, folder, url, whole)
    try:
        yield one
    finally:
        with suppress(Exception):
            one.close()


JUDGED = """() => { const told = document.querySelector("[data-section-html]");
  return !document.querySelector(".means[aria-busy]") && (!told || "now" in told.dataset); }"""
"""Whether nothing is being judged, and something was: until the first verdict questions stand that it will fold away."""


class PhoneThumb(Thumb):
    """A thumb on the phone's own pages, in their language."""

    language = "en"

    def said(self, text: str) -> str:
        """What the pages say for an English text."""
        return translate(text, self.language)

    def begin(self, answers: dict[str, Any]) -> None:
        """Begin a job; it stops at its first section."""
        page = self.page
        self.tap(page.locator('a[href="#/new"]'))
        self._starters(answers)
        page.wait_for_url("**/job")
        page.locator("form.job-form").wait_for()

    def leave_out(self, answers: dict[str, Any], by_hand: tuple[str, ...]) -> None:
        """Of the job that was just begun, have the sections that are not typed by hand answered, as by a hand before."""
        self.judged()
        given = {name: answer for name, answer in answers.items() if name in CATALOGUE and CATALOGUE[name].section not in by_hand}
        given = {name: answer if isinstance(answer, list | dict) else str(answer) for name, answer in given.items()}
        rows = [{**row, "answers": {**given, **row["answers"]}} for row in self.page.evaluate(ALL)]
        put(self.page, rows, [])
        self.page.reload()
        self.page.wait_for_function(READY)

    def section(self, section: str, answers: dict[str, Any]) -> None:
        """Answer everything of this section that is asked, until it is kept and judged."""
        self.judged()
        for _ in range(6):
            if not self._once(section, answers) and (not self.brisk or not self._usual()):
                break
            self.judged()

    def _usual(self) -> bool:
        button = self.page.locator("[data-usual-button]")
        if not button.is_visible():
            return False
        self.tap(button)
        return True

    def judged(self) -> None:
        kept = re.compile(f"^{self.said('saved on this phone {time}').partition('{')[0]}\\d")
        reads(self.page, "[data-saved]", kept)
        self.page.wait_for_function(JUDGED)

    def here(self) -> str:
        """The section that is open."""
        return self.page.url.rsplit("/", 1)[1]

    def go_on(self) -> None:
        """Tap the way on."""
        before = self.page.url
        self.tap(self.page.locator("[data-onward]"))
        self.page.wait_for_function("before => location.href !== before", arg=before)
        here = self.here()
        shown = "[data-review-html]" if here == "review" else f'form[data-section="{here}"]'
        self.page.locator(f"main {shown}").wait_for(state="attached")

    def sign(self, homeowner: str = "not_home") -> None:
        """Sign by typed name; the homeowner signs by name, declines or is not home."""
        page = self.page
        self.tap(page.locator("a[data-sign]"))
        page.locator("#sign-name").wait_for()
        self.tap(page.locator('label:has(> input[name="consent"])'))
        self.tap(page.locator(f'label:has(> input[name="homeowner"][value="{homeowner}"])'))
        if homeowner == "signs":
            self.write(page.locator("#homeowner-name"), "Pat Marlow")
        self.tap(page.get_by_role("button", name=self.said("Sign, ready to send")))
        page.wait_for_url(re.compile(r"/phone/#/$"))
