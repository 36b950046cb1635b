"""The engine on the phone: the same bytes as here, offline too, and a fault of it is said and lived with."""

from __future__ import annotations

import io
import json
import re
import zipfile
from collections.abc import Callable, Iterator
from pathlib import Path
from typing import Any

import pytest
from playwright.sync_api import Browser, Page, Playwright, Route, expect

from heaterapp import phone_python, rules
from heaterapp.filling import door
from tests.grids import WHOLE

from . import engine_bytes
from .conftest import CHROMIUM, FLAGS, SHELL, SLOW_MS, Served, sign_in_once
from .engine_bytes import ASK, ENGINE, JOBS
from .phone_views import READY, draft, put

pytestmark = pytest.mark.browser
STATE = f"async () => {{ {ENGINE} return engine.state(); }}"
BESIDE = """async () => {
  const names = (await caches.keys()).filter((name) => /^(engine|rules|shell)-/.test(name));
  const marks = await Promise.all(names.filter((name) => !name.startsWith("shell-")).map(async (name) => (await caches.open(name)).match("/phone/whole")));
  return names.length === 3 && marks.every(Boolean);
}"""
ON_PHONE, AT_OFFICE = "Judges on this phone", "Judges at the office"
WISH = {"do": "told", "answers": JOBS["gas_storage_us_ca"], "changes": {"house_pressure_psi": "92"}, "unread": [], "section": "water"}


@pytest.fixture
def opened(
    served_whole: Served, chromium: Browser, whole_cookies: dict[str, list[Any]]
) -> Iterator[Callable[..., Page]]:
    """A page of a browser of its own, signed in; `calls` has what it asked the server to judge."""
    assert phone_python.packed_files(), "the Python for phones is not here: run 'sh .ci/test' once"
    contexts = []

    def one(browser: Browser = chromium, **more: Any) -> Page:
        context = browser.new_context(base_url=served_whole.url, viewport={"width": 360, "height": 740}, **more)
        context.set_default_timeout(SLOW_MS)
        contexts.append(context)
        page = context.new_page()
        page.calls = []
        page.on("request", lambda sent: page.calls.append(sent.url) if sent.url.endswith("/judge") else None)
        sign_in_once(page, "riley", whole_cookies)
        return page

    yield one
    for context in contexts:
        context.close()


def where(page: Page, words: str, seconds: int = 60) -> None:
    expect(page.locator("[data-engine]")).to_contain_text(words, timeout=seconds * 1000)


def test_the_phone_reports_and_tells_to_the_byte_what_is_reported_and_told_here(
    opened: Callable[..., Page], driver: Playwright
) -> None:
    # A browser that compiles as phones do.
    browser = driver.chromium.launch(executable_path=SHELL if Path(SHELL).exists() else CHROMIUM, args=FLAGS)
    page = opened(browser)
    page.goto("/phone/")
    where(page, ON_PHONE)
    assert engine_bytes.differences(page, every=1 if WHOLE else 7) == []
    assert page.calls == []
    browser.close()


def test_what_judging_imports_comes_compiled_and_the_whole_is_one_small_download() -> None:
    files = phone_python.packed_files()
    with zipfile.ZipFile(io.BytesIO(files[phone_python.LIBRARY].read("identity"))) as library:
        names = set(library.namelist())
    assert {"json/decoder.pyc", "decimal.pyc", "zipfile/__init__.pyc"} <= names
    assert not {"json/decoder.py", "unittest/case.py"} & names
    own = [phone_python.squeezed(body, "br") for body in (rules.ruleset_zip(), phone_python.pages_zip())]
    assert sum(len(one.read("br")) for one in files.values()) + sum(map(len, own)) <= 6_500_000


def test_once_loaded_it_comes_up_and_judges_with_no_network_at_all(opened: Callable[..., Page]) -> None:
    page = opened()
    page.goto("/phone/")
    where(page, ON_PHONE)
    page.wait_for_function(BESIDE)
    page.evaluate("async () => { await navigator.serviceWorker.ready; }")
    page.context.set_offline(True)
    page.context.route("**/*", lambda route: route.abort())
    page.reload()
    where(page, ON_PHONE)
    assert page.evaluate(ASK, [WISH]) == [json.loads(door.call(json.dumps(WISH)))]


def test_while_it_loads_and_where_it_cannot_be_had_the_server_judges(opened: Callable[..., Page]) -> None:
    page = opened(service_workers="block")
    held: list[Route] = []
    loading = [True]
    page.context.route("**/phone/engine/**", lambda route: held.append(route) if loading else route.abort())
    page.goto("/phone/")
    where(page, "Fetching what this phone needs")
    assert page.evaluate(ASK, [WISH]) == [json.loads(door.call(json.dumps(WISH)))]
    assert len(page.calls) == 1
    loading.clear()
    while held:
        held.pop().abort()
    where(page, f"{AT_OFFICE}, with a signal only: The engine could not be loaded")
    assert page.evaluate(ASK, [WISH]) == [json.loads(door.call(json.dumps(WISH)))]
    page.context.unroute("**/phone/engine/**")
    page.evaluate("dispatchEvent(new Event('online'))")
    where(page, ON_PHONE)
    calls = len(page.calls)
    assert page.evaluate(ASK, [WISH]) == [json.loads(door.call(json.dumps(WISH)))]
    assert len(page.calls) == calls


@pytest.mark.parametrize("comes", [True, False])
def test_while_it_comes_up_with_no_signal_it_is_no_fault(opened: Callable[..., Page], comes: bool) -> None:
    page = opened(service_workers="block")
    held: list[Route] = []
    holding = [True]

    def on(route: Route) -> None:
        # Asked for late, on a slow machine, it fares no better than what was held.
        if holding:
            held.append(route)
        elif comes:
            route.continue_()
        else:
            route.abort()

    page.context.route("**/phone/engine/**", on)
    page.context.route("**/phone/api/**", lambda route: route.abort())
    page.goto("/phone/")
    page.wait_for_function(READY)
    put(page, [draft("gas", JOBS["gas_storage_us_ca"])], [])
    page.evaluate("location.hash = '/gas/sign'")
    expect(page.locator("[data-soon]")).to_contain_text("This phone is getting ready to judge")
    expect(page.locator("[data-why]")).to_be_hidden()
    where(page, "This phone is getting ready to judge")
    holding.clear()
    while held:
        on(held.pop())
    if comes:
        expect(page.locator("h1")).to_have_text("Sign the certificate")
        expect(page.locator("main form")).to_be_visible()
    else:
        expect(page.locator("[data-why]")).to_contain_text("It cannot be signed now: no connection.")
        expect(page.locator("[data-soon]")).to_be_empty()


def test_one_that_hangs_or_dies_is_given_up_the_server_judges_and_another_is_started(opened: Callable[..., Page]) -> None:
    page = opened(service_workers="block")
    held: list[Route] = []
    page.context.route("**/phone/rules/**", lambda route: route.continue_() if held else held.append(route))
    page.clock.install()
    page.goto("/phone/")
    where(page, "Fetching what this phone needs")
    while not held:
        page.wait_for_timeout(50)
    # Each part that still comes begins the minute anew.
    for _ in range(40):
        page.clock.fast_forward(61_000)
        page.wait_for_timeout(300)
        if "nothing came for a minute" in page.locator("[data-engine]").inner_text():
            break
    else:
        raise AssertionError("it was never given up")
    page.clock.fast_forward(31_000)
    where(page, ON_PHONE)
    before = len(page.calls)
    page.workers[-1].evaluate("close()")
    page.evaluate(f"(wish) => {{ globalThis.waited = (async () => {{ {ENGINE} return engine.ask(wish); }})(); }}", WISH)
    page.clock.fast_forward(21_000)
    assert page.evaluate("globalThis.waited") == json.loads(door.call(json.dumps(WISH)))
    assert len(page.calls) == before + 1
    where(page, "The engine stopped: it gave no answer")
    page.clock.fast_forward(31_000)
    where(page, ON_PHONE)


@pytest.mark.parametrize("part", ["rules", "pages", "engine"])
def test_what_is_not_what_the_page_was_made_for_is_never_used(opened: Callable[..., Page], part: str) -> None:
    page = opened(service_workers="block")

    def changed(route: Route) -> None:
        answer = route.fetch()
        body = bytearray(answer.body())
        body[len(body) // 2] ^= 1
        route.fulfill(response=answer, body=bytes(body))

    page.context.route(re.compile(f"/phone/{part}/.*(zip|wasm)$"), changed)
    page.goto("/phone/")
    where(page, "did not come whole")
    assert page.evaluate(STATE)["way"] == "server"
    assert page.evaluate(ASK, [WISH]) == [json.loads(door.call(json.dumps(WISH)))]
    assert len(page.calls) == 1


def test_rules_of_another_digest_are_never_used(opened: Callable[..., Page]) -> None:
    page = opened(service_workers="block")

    def misled(route: Route) -> None:
        answer = route.fetch()
        route.fulfill(response=answer, body=answer.text().replace(f'"digest": "{rules.digest()}"', '"digest": "0000"'))

    page.context.route(re.compile("/phone/$"), misled)
    page.goto("/phone/")
    where(page, "not the ones this page was made for")


def test_a_browser_that_keeps_nothing_judges_and_says_what_will_be_lacking(opened: Callable[..., Page]) -> None:
    page = opened(service_workers="block")
    page.context.add_init_script("delete globalThis.caches")
    full = "caches.open = () => Promise.reject(new DOMException('full', 'QuotaExceededError'));"
    page.context.route(re.compile("engine-worker"), lambda route: _before(route, full))
    page.goto("/phone/")
    where(page, "could not be kept on this phone")
    assert page.evaluate(STATE)["way"] == "phone"


def _before(route: Route, script: str) -> None:
    answer = route.fetch()
    route.fulfill(response=answer, body=script + answer.text())


@pytest.mark.parametrize("lacking", ["WebAssembly", "Worker"])
def test_a_browser_that_cannot_says_so_and_the_server_judges(opened: Callable[..., Page], lacking: str) -> None:
    page = opened(service_workers="block")
    page.add_init_script(f"delete globalThis.{lacking}")
    page.goto("/phone/")
    where(page, f"cannot judge on the phone (no {lacking})")
    assert page.evaluate(ASK, [WISH]) == [json.loads(door.call(json.dumps(WISH)))]


def test_signed_out_and_with_no_engine_it_says_why(opened: Callable[..., Page]) -> None:
    page = opened(service_workers="block")
    page.context.route("**/phone/engine/**", lambda route: route.abort())
    page.context.clear_cookies()
    page.goto("/phone/")
    where(page, AT_OFFICE)
    said = page.evaluate(f"async (wish) => {{ {ENGINE} try {{ await engine.ask(wish); }} catch (why) {{ return why.message; }} }}", WISH)
    assert said.startswith("signed out")
