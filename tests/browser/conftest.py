"""A real browser before a real server: one server for the session, one fresh browser context a test.

served.url, served.token(login)   the running app and a signed-in cookie for a person
person("riley")                   a page in which that person is signed in, 360 px wide
fill(page, answers)               types a section's answers as a person would; counts taps in page.taps
"""

from __future__ import annotations

import os
import socket
import subprocess
import sys
import time
import urllib.request
from collections.abc import Callable, Iterator
from contextlib import contextmanager
from pathlib import Path
from typing import Any

import pytest
from playwright.sync_api import Browser, Page, Playwright, expect, sync_playwright

from heaterapp import archive

sys.path.insert(0, str(Path(__file__).parent))
from replaced import Phone, Replaced
from shelf import Shelf

ROOT = Path(__file__).parent.parent.parent
CHROMIUM = "/usr/bin/chromium"
# The same browser without its own windows, which cost more than the pages; what belongs to a window (an offer to
# install, a profile that outlives the process) is tried in the whole one.
SHELL = "/usr/bin/chromium-headless-shell"
FLAGS = [
    "--no-sandbox", "--disable-gpu", "--disable-quic", "--no-first-run", "--disable-background-networking",
    "--disable-component-update", "--disable-sync",
    # A process less for each browser; nothing here is drawn by a graphics card.
    "--in-process-gpu",
]  # fmt: skip
# The Python for phones is compiled plainly, a fifth of what loading it costs; rubbish is collected less often.
BASELINE = "--js-flags=--liftoff-only --min-semi-space-size=32"
# What is waited for comes within a second or, an issued paper, a few; a machine under load may take many.
SLOW_MS = 90_000
expect.set_options(timeout=SLOW_MS)
PASSWORD = "copper-kettle-47"
SIGNED_OUT = 401
PATIENCE_S = 120
PEOPLE = {
    "riley": ("Riley Okafor", "installer", "J-20417"),
    "june": ("June Adeyemi", "office", ""),
    "tomas": ("Tomas Lund", "owner", ""),
}


class Served:
    """The running app."""

    def __init__(self, url: str, folder: Path) -> None:
        self.url, self.folder = url, folder

    def store(self) -> Any:
        return archive.open_store(data_dir=self.folder)

    def begun(self, answers: dict[str, Any]) -> str:
        """The id of a new job of riley's with these answers."""
        store = self.store()
        firm = store.organisations.default()
        made = store.jobs.create(firm.id, store.people.by_login(firm.id, "riley").id, answers)
        store.close()
        return str(made.id)

    def stored(self, job: str) -> dict[str, Any]:
        """The answers that the archive holds of a job."""
        store = self.store()
        answers = dict(store.jobs.get(store.organisations.default().id, job).answers)
        store.close()
        return answers


def _free_port() -> int:
    with socket.socket() as one:
        one.bind(("127.0.0.1", 0))
        return int(one.getsockname()[1])


@contextmanager
def served_here(folder: Path, engine: bool = True) -> Iterator[Served]:
    """The app on a port of its own, its archive in this folder, with the firm and its people.

    engine  whether phones may fetch the Python by which they judge themselves; else the server judges
    """
    port = _free_port()
    store = archive.open_store(data_dir=folder)
    firm = store.organisations.default()
    store.organisations.save(
        firm.id,
        name="Harborlight Plumbing",
        licence="C36 000000",
        phone="555-0100",
        address="12 Quay Rd, Port Larkin",
    )
    store.organisations.save_settings(firm.id, {"place": "us_ca_2022"})
    for login, (name, role, licence) in PEOPLE.items():
        store.people.add(firm.id, login, name, role, PASSWORD, licence=licence)
    store.close()
    environment = {**os.environ, "HEATERAPP_DATA": str(folder)}
    if not engine:
        environment["HEATERAPP_ENGINE"] = str(folder / "none")
    command = [sys.executable, "-m", "heaterapp", "serve", "--port", str(port)]
    said = (folder / "said.txt").open("wb")
    process = subprocess.Popen(command, cwd=ROOT, env=environment, stdout=said, stderr=said)
    url = f"http://127.0.0.1:{port}"
    try:
        for _ in range(PATIENCE_S * 10):
            try:
                urllib.request.urlopen(url + "/healthz", timeout=PATIENCE_S).close()
                break
            except OSError:
                time.sleep(0.1)
            if process.poll() is not None:
                raise RuntimeError((folder / "said.txt").read_text())
        else:
            raise RuntimeError(f"no server within {PATIENCE_S} s: {(folder / 'said.txt').read_text()}")
        yield Served(url, folder)
    finally:
        process.terminate()
        process.wait(20)
        said.close()


@pytest.fixture(scope="session")
def served(tmp_path_factory: pytest.TempPathFactory) -> Iterator[Served]:
    """The app for pages that need no engine of their own: starting one costs more than most tests."""
    with served_here(tmp_path_factory.mktemp("served"), engine=False) as one:
        yield one


@pytest.fixture(scope="session")
def served_whole(tmp_path_factory: pytest.TempPathFactory) -> Iterator[Served]:
    """The app with the Python for phones."""
    with served_here(tmp_path_factory.mktemp("served-whole")) as one:
        yield one


@pytest.fixture(scope="session")
def driver() -> Iterator[Playwright]:
    with sync_playwright() as one:
        yield one


@pytest.fixture(scope="session")
def chromium(driver: Playwright) -> Iterator[Browser]:
    args = [*FLAGS, BASELINE]
    browser = driver.chromium.launch(executable_path=SHELL if Path(SHELL).exists() else CHROMIUM, args=args)
    yield browser
    browser.close()


@pytest.fixture(scope="session")
def server(tmp_path_factory: pytest.TempPathFactory) -> Iterator[Replaced]:
    """A server whose place a test gives to one of another build; two builds and a third stay up for the tests after."""
    made = Replaced(tmp_path_factory.mktemp("replaced"), beside=2)
    yield made
    made.end()


@pytest.fixture
def phone(server: Replaced, driver: Playwright, chromium: Browser, tmp_path: Path) -> Iterator[Callable[..., Phone]]:
    """Makes phones: a browser of its own for one with flags, for a `whole` one and for one that `outlives` its process."""
    made: list[Phone] = []

    def make(url: str = "", *flags: str, whole: bool = False, outlives: bool = False) -> Phone:
        shared = None if flags or whole or outlives else chromium
        one = Phone(driver, tmp_path / f"profile-{len(made)}", url or server.url, flags, whole, shared)
        made.append(one)
        return one

    yield make
    for one in made:
        one.close()


@pytest.fixture(scope="session")
def cookies(served: Served) -> dict[str, list[Any]]:
    """The cookies of those who have signed in before: each test's own sign-in would take longer than the test."""
    return {}


@pytest.fixture(scope="session")
def whole_cookies(served_whole: Served) -> dict[str, list[Any]]:
    """The same of the app with the Python for phones."""
    return {}


def sign_in_once(page: Page, login: str, cookies: dict[str, list[Any]]) -> None:
    """Sign in, by the cookies of a sign-in before where there was one."""
    context = page.context
    context.add_cookies(cookies.get(login, []))
    if login in cookies and context.request.get("/phone/api/account").status != SIGNED_OUT:
        page.goto("/healthz")
        return
    page.goto("/sign-in")
    page.fill("#login", login)
    page.fill("#password", PASSWORD)
    page.click("main button[type=submit]")
    page.wait_for_url(lambda url: "sign-in" not in url)
    cookies[login] = context.cookies()


@contextmanager
def people_at(shelf: Shelf, cookies: dict[str, list[Any]]) -> Iterator[Callable[..., Page]]:
    """What gives pages, each of a browser context of its own, in which a person is signed in."""
    contexts = []

    def sign_in(login: str | None = "riley", width: int = 360, script: bool = True, **more: Any) -> Page:
        context, page = shelf.lent(viewport={"width": width, "height": 740}, java_script_enabled=script, **more)
        contexts.append(context)
        page.faults = []
        page.on("pageerror", lambda fault: page.faults.append(str(fault)))
        page.on("console", lambda said: page.faults.append(said.text) if said.type == "error" else None)
        if login:
            sign_in_once(page, login, cookies)
        return page

    yield sign_in
    for context in contexts:
        shelf.back(context)


@pytest.fixture(scope="session")
def shelf(served: Served, chromium: Browser) -> Iterator[Shelf]:
    one = Shelf(chromium, served.url)
    yield one
    one.close()


@pytest.fixture
def person(shelf: Shelf, cookies: dict[str, list[Any]]) -> Iterator[Callable[..., Page]]:
    with people_at(shelf, cookies) as one:
        yield one


@pytest.fixture(scope="module")
def person_of_module(shelf: Shelf, cookies: dict[str, list[Any]]) -> Iterator[Callable[..., Page]]:
    """The same for pages that the tests of a file share."""
    with people_at(shelf, cookies) as one:
        yield one
