"""A server whose place one of another build takes, and a phone whose browser can be killed: all real processes."""

from __future__ import annotations

import itertools
import json
import os
import shutil
import signal
import sys
import time
import urllib.request
from collections.abc import Callable, Mapping
from contextlib import ExitStack, suppress
from dataclasses import dataclass
from pathlib import Path
from typing import Any

from playwright.sync_api import Browser, BrowserContext, Error, Page, Playwright

from heaterapp import archive, fonts, slowed_browser

sys.path.insert(0, str(Path(__file__).parent))
from cut_line import CutLine

ROOT = Path(__file__).parent.parent.parent
TWO_BUILDS = ("as it is", "as it is again")
WHOLE, WITHOUT_WINDOWS = Path("/usr/bin/chromium"), Path("/usr/bin/chromium-headless-shell")
LOGIN, PASSWORD = "riley", "copper-kettle-47"
PATIENCE_S = 90
READY = "() => Boolean(document.documentElement.dataset.ready)"
KEPT = """async () => Boolean(navigator.serviceWorker.controller)
  && (await caches.keys()).some((name) => name.startsWith("shell-"))"""
BUILD = '() => JSON.parse(document.getElementById("settings").textContent).build'
SHELF = """(mode) => new Promise((done, fail) => {
    const asked = indexedDB.open("heaterapp");
    asked.onerror = () => fail(asked.error);
    asked.onsuccess = () => done([asked.result, asked.result.transaction("drafts", mode).objectStore("drafts")]);
  })"""
PUT = f"""async (draft) => {{
  const [base, shelf] = await ({SHELF})("readwrite");
  await new Promise((done) => {{ shelf.put(draft).onsuccess = done; }});
  base.close();
}}"""
ALL = f"""async () => {{
  const [base, shelf] = await ({SHELF})("readonly");
  const found = await new Promise((done) => {{ shelf.getAll().onsuccess = ({{ target }}) => done(target.result); }});
  base.close();
  return found;
}}"""


@dataclass
class Up:
    """A server that is up, whether or not the address leads to it."""

    port: int
    build: str
    running: ExitStack


class Replaced:
    """One address and the builds that are served there, each from a tree of its own in a process of its own."""

    def __init__(self, folder: Path, beside: int = 0) -> None:
        """`beside`: how many servers stay up when another takes their place, so that going back to one starts none."""
        self.folder, self.data, self.beside = folder, folder / "data", beside
        self.data.mkdir(parents=True)
        store = archive.open_store(data_dir=self.data)
        firm = store.organisations.default()
        store.organisations.save(firm.id, name="Harborlight Plumbing", licence="C36 000000", phone="555-0100")
        store.organisations.save_settings(firm.id, {"place": "us_ca_2022"})
        store.people.add(firm.id, LOGIN, "Riley Okafor", "installer", PASSWORD, licence="J-20417")
        store.close()
        self.line = CutLine(0)
        self.line.cut()
        self.port, self.url = self.line.port, self.line.url
        self.up: dict[str, Up] = {}
        self.numbers = itertools.count(1)
        self.serves: tuple[str, dict[str, str]] | None = None
        self.build = ""
        self.cookies: list[Any] = []

    def start(self, mark: str, added: Mapping[str, str] | None = None, **environ: str) -> str:
        """Serve the build of this mark, and give its name; what is served already goes on.

        added  path within the tree -> text that is put at the end of that file
        """
        if self.serves == (mark, environ):
            return self.build
        self.stop()
        key = repr((mark, sorted(environ.items())))
        self.up[key] = one = self.up.pop(key, None) or self._up(mark, added or {}, environ)
        while len(self.up) > self.beside + 1:
            self.up.pop(next(iter(self.up))).running.close()
        self.line.before(one.port)
        self.serves, self.build = (mark, environ), one.build
        return self.build

    def another(self, **environ: str) -> str:
        """Serve another build than the one that is served, and give its name."""
        if not self.beside:
            return self.start(f"build {next(self.numbers)}", **environ)
        served = self.serves[0] if self.serves else ""
        return self.start(next(mark for mark in TWO_BUILDS if mark != served), **environ)

    def _up(self, mark: str, added: Mapping[str, str], environ: dict[str, str]) -> Up:
        tree = self.folder / f"tree-{next(self.numbers)}"
        for part in ("heaterapp", "static", "templates"):
            shutil.copytree(ROOT / part, tree / part)
        for path, text in {**added, "static/phone/phone.css": f"\n/* {mark} */\n"}.items():
            with (tree / path).open("a", encoding="utf-8") as file:
                file.write(text)
        running = ExitStack()
        _share_bytecode(tree, running)
        environ = {"HEATERAPP_FONTS": str(fonts.font_folder()), **environ}
        port = slowed_browser.free_port()
        url = running.enter_context(slowed_browser.served(self.data, port, tree, **environ))
        with urllib.request.urlopen(f"{url}/phone/version.json", timeout=PATIENCE_S) as answer:
            return Up(port, str(json.load(answer)["build"]), running)

    def stop(self) -> None:
        """Nobody listens at the address any more."""
        self.serves = None
        self.line.cut()
        if not self.beside:
            self.end()

    def end(self) -> None:
        """End every server."""
        self.line.cut()
        while self.up:
            self.up.popitem()[1].running.close()


def _share_bytecode(tree: Path, running: ExitStack) -> None:
    """Spare a copy of the program its compiling, where bytecode is kept apart from the files."""
    if not sys.pycache_prefix:
        return
    kept, own = (Path(sys.pycache_prefix, *one.parts[1:], "heaterapp") for one in (ROOT, tree))
    if kept.is_dir():
        shutil.copytree(kept, own)
        running.callback(shutil.rmtree, own, ignore_errors=True)


class Phone:
    """One phone: a browser on a profile that outlives it, or a context of a browser that is there."""

    def __init__(
        self, driver: Playwright, profile: Path, url: str, flags: tuple[str, ...] = (), whole: bool = True,
        browser: Browser | None = None,
    ) -> None:  # fmt: skip
        """Make a phone that is off.

        whole    with windows, of which nothing is seen here; without them a browser costs half as much
        browser  one that runs, for a phone that is neither killed nor started again: another costs more than most tests
        """
        self.driver, self.profile, self.url, self.flags, self.browser = driver, profile, url, flags, browser
        self.program = WITHOUT_WINDOWS if not whole and WITHOUT_WINDOWS.exists() else WHOLE
        self.context: BrowserContext | None = None

    def start(self) -> Tab:
        if self.browser:
            self.context = self.browser.new_context(viewport=slowed_browser.PHONE, base_url=self.url)
            return Tab(self.context.new_page())
        self.context = self.driver.chromium.launch_persistent_context(
            str(self.profile), executable_path=str(self.program),
            args=[*slowed_browser.FLAGS, "--in-process-gpu", *self.flags], viewport=slowed_browser.PHONE, base_url=self.url,
        )  # fmt: skip
        return Tab(self.context.pages[0])

    def another(self) -> Tab:
        assert self.context
        return Tab(self.context.new_page())

    def kill(self) -> None:
        """End the browser as a flat battery does."""
        mark = f"--user-data-dir={self.profile}".encode()
        for entry in Path("/proc").iterdir():
            with suppress(OSError):
                said = (entry / "cmdline").read_bytes().split(b"\0") if entry.name.isdigit() else []
                if mark in said and not any(one.startswith(b"--type=") for one in said):
                    os.kill(int(entry.name), signal.SIGKILL)
        self.close()
        for lock in self.profile.glob("Singleton*"):
            lock.unlink()

    def close(self) -> None:
        if self.context:
            with suppress(Error):
                self.context.close()
        self.context = None


class Tab:
    """One page, its loads counted and its faults kept."""

    def __init__(self, page: Page) -> None:
        self.page, self.loads, self.faults = page, 0, []
        page.on("domcontentloaded", self._loaded)
        page.on("pageerror", lambda fault: self.faults.append(str(fault)))
        page.on("console", self._said)

    def _loaded(self, _: Page) -> None:
        self.loads += 1

    def _said(self, said: Any) -> None:
        # What the network did is the browser's own remark; every other error is ours.
        if said.type == "error" and "Failed to load resource" not in said.text and "net::" not in said.text:
            self.faults.append(said.text)

    def sign_in(self, cookies: list[Any]) -> None:
        """Sign in, by the cookies of a sign-in before where there was one; else they are put in."""
        if cookies:
            self.page.context.add_cookies(cookies)
            return
        self.page.goto("/sign-in?next=/phone/")
        self.page.fill("#login", LOGIN)
        self.page.fill("#password", PASSWORD)
        self.page.click("main button[type=submit]")
        self.page.wait_for_url(lambda url: "/phone/" in url)
        cookies += self.page.context.cookies()

    def open(self, way: str = "") -> None:
        """Load the page anew at a place behind its #."""
        self.page.goto("about:blank")
        self.page.goto(f"/phone/#/{way}", wait_until="commit")
        self.soon(READY)
        self.loads = 0

    def go(self, way: str) -> None:
        """Go to a place within the page."""
        self.page.evaluate("(way) => { location.hash = '/' + way; }", way)
        shown = "h1" if not way else f"form[data-section='{way.split('/')[1]}']"
        self.page.wait_for_selector(f"#main {shown}")

    def soon(self, says: str, given: Any = None, patience_s: float = PATIENCE_S) -> Any:
        """Wait until a function of the page answers yes, over reloads of the page."""
        end = time.monotonic() + patience_s
        while time.monotonic() < end:
            with suppress(Error):
                answer = self.page.evaluate(says, given)
                if answer:
                    return answer
            time.sleep(0.05)
        raise AssertionError(f"not so after {patience_s} s: {says} ({given}); faults: {self.faults}")

    def nudge(self) -> None:
        """Make the page ask for a newer build now, as when it comes into sight."""
        self.page.evaluate("document.dispatchEvent(new Event('visibilitychange'))")

    def hide(self, hidden: bool = True) -> None:
        """Tell the page that it is out of sight: a browser without a screen never says so itself."""
        self.page.evaluate(
            "(hidden) => { Object.defineProperty(document, 'hidden', { get: () => hidden, configurable: true });"
            " document.dispatchEvent(new Event('visibilitychange')); }", hidden,
        )  # fmt: skip

    def put(self, draft: dict[str, Any]) -> None:
        self.page.evaluate(PUT, draft)

    def drafts(self) -> dict[str, dict[str, Any]]:
        return {one["id"]: one for one in self.page.evaluate(ALL)}

    def type(self, draft: str, field: str, text: str) -> None:
        """Type an answer, and wait until the phone has it in its store."""
        self.page.evaluate("document.querySelectorAll('#main details').forEach((one) => { one.open = true; })")
        self.page.click(f"#q-{field}")
        self.page.keyboard.press("Control+A")
        self.page.keyboard.type(text)
        until(lambda: self.drafts()[draft]["boxes"].get(field, {}).get("") == text, f"{field} kept as {text}")


def until(so: Callable[[], bool], what: str, patience_s: float = PATIENCE_S) -> None:
    end = time.monotonic() + patience_s
    while not so():
        assert time.monotonic() < end, f"not so after {patience_s} s: {what}"
        time.sleep(0.05)
