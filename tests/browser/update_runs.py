"""A newer build at the server while jobs are open on a phone: python tests/browser/update_runs.py 50

Every run is a fresh profile of a real Chromium, a real server whose process is replaced by one
of another build, and one of the ways in which an update meets somebody at work. Counted are
dead pages (a field that keeps nothing, a button that leads nowhere, a fault of a script), jobs
that are not as they were typed, and reloads of a page, of which there is at most one.
"""

from __future__ import annotations

import sys
import tempfile
import time
from collections.abc import Callable
from dataclasses import dataclass, field
from pathlib import Path

sys.path.insert(0, str(Path(__file__).parent.parent.parent))
sys.path.insert(0, str(Path(__file__).parent))

from playwright.sync_api import Browser, Playwright, sync_playwright
from replaced import BUILD, KEPT, READY, Phone, Replaced, Tab

from heaterapp.phone_times import DRAFT

FIELDS = {
    "job": ("address_street", "12 Quay Rd "), "plate": ("storage_gal", "5"), "water": ("house_pressure_psi", "6"),
    "place": ("tank_base_in", "1"), "gas": ("gas_running_inwc", "4."),
}  # fmt: skip
NEWER = "() => !document.querySelector('[data-newer]').hidden"
SHOWN = "([field, text]) => document.getElementById(`q-${field}`)?.value === text"
TOP = "(field) => document.getElementById(`q-${field}`).getBoundingClientRect().top"
FOCUSED = "(field) => document.activeElement?.id === `q-${field}`"
OWN_FILES = """async () => {
  const own = [...document.querySelectorAll("[rel=modulepreload], [rel=stylesheet]")].map((one) => one.href);
  const answers = await Promise.all(own.map(async (address) => [address, (await fetch(address, { cache: "no-store" })).status]));
  return answers.filter(([, status]) => status !== 200);
}"""


@dataclass
class Run:
    """One run: its server, its phone, and what it counted."""

    served: Replaced
    phone: Phone
    number: int
    tabs: list[Tab] = field(default_factory=list)
    typed: dict[str, tuple[str, str]] = field(default_factory=dict)
    typings: int = 0
    reloads: int = 0
    environ: dict[str, str] = field(default_factory=dict)

    def newer(self) -> str:
        return self.served.another(**self.environ)

    def begin(self) -> Tab:
        """A phone that keeps the pages and is signed in, at its list."""
        tab = self.phone.start()
        self.tabs.append(tab)
        tab.sign_in(self.served.cookies)
        tab.open()
        tab.soon(KEPT)
        return tab

    def job(self, tab: Tab, section: str) -> str:
        """A job on the phone, opened at a section with something typed."""
        name = f"00000000-0000-4000-8000-{self.number:06}{len(self.typed):06}"
        tab.put({**DRAFT, "id": name, "at": section})
        tab.go(f"{name}/{section}")
        self.type(tab, name, section)
        return name

    def type(self, tab: Tab, name: str, section: str) -> None:
        self.typings += 1
        question, text = FIELDS[section]
        self.typed[name] = (question, f"{text}{self.typings % 10}")
        tab.type(name, *self.typed[name])

    def alive(self, tab: Tab, name: str, section: str) -> None:
        """The page keeps what is typed, its way on leads on, and the way back to the section works."""
        self.type(tab, name, section)
        before = tab.page.evaluate("location.hash")
        tab.page.click("[data-onward]")
        tab.soon("(before) => location.hash !== before && document.querySelector('#main h1')", before)
        tab.go(f"{name}/{section}")
        tab.soon(SHOWN, list(self.typed[name]))

    def changed(self, tab: Tab, build: str) -> None:
        tab.soon(f"(build) => ({READY})() && ({BUILD})() === build", build)
        assert tab.loads == 1, f"{tab.loads} reloads"
        self.reloads = max(self.reloads, tab.loads)

    def whole(self) -> None:
        """Every job is as it was typed last, and no script had a fault."""
        drafts = self.tabs[-1].drafts()
        for name, (question, text) in self.typed.items():
            found = drafts[name]["boxes"][question][""]
            assert found == text, f"{question} of {name}: {found!r}, typed {text!r}"
        for tab in self.tabs:
            assert not tab.faults, tab.faults
            assert tab.loads <= 1, f"{tab.loads} reloads"


def at_the_list(run: Run, section: str) -> None:
    """The list renews itself."""
    tab = run.begin()
    name = run.job(tab, section)
    tab.go("")
    build = run.newer()
    tab.nudge()
    run.changed(tab, build)
    tab.go(f"{name}/{section}")
    tab.soon(SHOWN, list(run.typed[name]))
    run.alive(tab, name, section)


def in_a_section(run: Run, section: str) -> None:
    """The section goes on working, says so, and changes by a button, to the same place."""
    tab = run.begin()
    name = run.job(tab, section)
    tab.open(f"{name}/{section}")
    build = run.newer()
    tab.nudge()
    tab.soon(NEWER)
    run.alive(tab, name, section)
    run.type(tab, name, section)
    assert tab.loads == 0, "a reload that nobody asked for"
    top = tab.page.evaluate(TOP, run.typed[name][0])
    # Pressed without taking the focus away, as a thumb does that finds the button while the field is open.
    tab.page.evaluate("document.querySelector('[data-newer] button').click()")
    run.changed(tab, build)
    tab.soon(SHOWN, list(run.typed[name]))
    tab.soon(FOCUSED, run.typed[name][0])
    tab.soon(f"([field, top]) => Math.abs(({TOP})(field) - top) < 60", [run.typed[name][0], top])
    run.alive(tab, name, section)


def out_of_sight(run: Run, section: str) -> None:
    """A section that is out of sight changes by itself, after what was typed is kept."""
    tab = run.begin()
    name = run.job(tab, section)
    tab.open(f"{name}/{section}")
    run.type(tab, name, section)
    build = run.newer()
    tab.nudge()
    tab.soon(NEWER)
    tab.hide()
    run.changed(tab, build)
    tab.soon(SHOWN, list(run.typed[name]))
    run.alive(tab, name, section)


def two_tabs(run: Run, section: str) -> None:
    """One tab changes; the other goes on with the build that it has, and changes at the list."""
    tab, other = run.begin(), run.phone.another()
    run.tabs.append(other)
    name = run.job(tab, section)
    other.open()
    second = run.job(other, "water" if section != "water" else "plate")
    section2 = "water" if section != "water" else "plate"
    tab.open(f"{name}/{section}")
    other.open(f"{second}/{section2}")
    build = run.newer()
    for one in (tab, other):
        one.nudge()
        one.soon(NEWER)
    tab.page.click("[data-newer] button")
    run.changed(tab, build)
    run.alive(tab, name, section)
    run.alive(other, second, section2)
    assert other.loads == 0, "the other tab was reloaded in the middle of a section"
    assert other.page.evaluate(OWN_FILES) == [], "files of its own build are gone"
    other.page.evaluate("location.hash = '/'")
    run.changed(other, build)
    other.go(f"{second}/{section2}")
    run.alive(other, second, section2)


def killed_meanwhile(run: Run, section: str) -> None:
    """The browser is killed while the newer build comes in, or while it takes over."""
    tab = run.begin()
    name = run.job(tab, section)
    build = run.newer()
    tab.nudge()
    time.sleep(run.number % 5 / 10)
    run.phone.kill()
    run.tabs = [run.phone.start()]
    tab = run.tabs[0]
    tab.open(f"{name}/{section}")
    tab.soon(SHOWN, list(run.typed[name]))
    run.alive(tab, name, section)
    tab.loads = 0
    if tab.page.evaluate(BUILD) != build:
        tab.nudge()
        tab.soon(NEWER)
        tab.page.evaluate("location.hash = '/'")
        run.changed(tab, build)
    tab.go(f"{name}/{section}")
    run.alive(tab, name, section)


def offline_first(run: Run, section: str) -> None:
    """The server is gone, the page opens and is typed in; then a newer build is there."""
    tab = run.begin()
    name = run.job(tab, section)
    run.served.stop()
    tab.open(f"{name}/{section}")
    run.alive(tab, name, section)
    build = run.newer()
    tab.nudge()
    tab.soon(NEWER)
    tab.page.click("[data-newer] button")
    run.changed(tab, build)
    run.alive(tab, name, section)


def replaced_twice(run: Run, section: str) -> None:
    """The server goes while the newer build comes in, and comes back with a third one."""
    tab = run.begin()
    name = run.job(tab, section)
    run.newer()
    tab.nudge()
    time.sleep(run.number % 4 / 20)
    build = run.newer()
    run.alive(tab, name, section)
    tab.nudge()
    tab.soon(NEWER)
    tab.open(f"{name}/{section}")
    run.alive(tab, name, section)
    tab.nudge()
    if tab.page.evaluate(BUILD) != build:
        waiting = "async () => { const one = await navigator.serviceWorker.getRegistration('/phone/'); return !one.installing; }"
        tab.soon(waiting)
        tab.page.evaluate("location.hash = '/'")
        run.changed(tab, build)
    tab.go(f"{name}/{section}")
    run.alive(tab, name, section)


WAYS: tuple[Callable[[Run, str], None], ...] = (
    in_a_section, at_the_list, two_tabs, killed_meanwhile, offline_first, out_of_sight, replaced_twice,
)  # fmt: skip


def one_run(
    driver: Playwright, folder: Path, served: Replaced, number: int, whole: bool = True, browser: Browser | None = None
) -> Run:
    """One run, the ways and the sections taken in turns."""
    run = Run(served, Phone(driver, folder / f"profile-{number}", served.url, whole=whole, browser=browser), number)
    served.another()
    try:
        WAYS[number % len(WAYS)](run, list(FIELDS)[number % len(FIELDS)])
        run.whole()
    finally:
        run.phone.close()
    return run


def main(runs: int) -> int:
    """Run so many, say each that was not as it must be, and the counts."""
    failed, most, began = 0, 0, time.monotonic()
    with tempfile.TemporaryDirectory(prefix="updates-", ignore_cleanup_errors=True) as name, sync_playwright() as driver:
        served = Replaced(Path(name))
        try:
            for number in range(runs):
                way = WAYS[number % len(WAYS)].__name__
                try:
                    most = max(most, one_run(driver, Path(name), served, number).reloads)
                    print(f"run {number + 1:3}  {way:18} well", flush=True)
                except Exception as fault:
                    failed += 1
                    print(f"run {number + 1:3}  {way:18} {type(fault).__name__}: {str(fault)[:400]}", flush=True)
        finally:
            served.stop()
    took = time.monotonic() - began
    print(f"{runs} updates with open jobs: {failed} with a dead page, a lost job or more than one reload; at most {most} reload a page; {took:.0f} s")
    return 1 if failed else 0


if __name__ == "__main__":
    sys.exit(main(int(sys.argv[1]) if len(sys.argv) > 1 else 50))
