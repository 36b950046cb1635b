"""What the phone's pages say where a browser cannot keep them, judge or sign, may forget, or can put them at hand."""

from __future__ import annotations

import sys
from collections.abc import Callable
from pathlib import Path

import pytest

from heaterapp.phone_times import DRAFT

sys.path.insert(0, str(Path(__file__).parent))
from replaced import READY, Phone, Replaced, until

pytestmark = pytest.mark.browser


@pytest.mark.parametrize(
    ("taken", "says"),
    [
        ("delete Navigator.prototype.serviceWorker", "does not keep pages"),
        ("delete globalThis.WebAssembly", "cannot judge on the phone itself"),
        ("Object.defineProperty(crypto, 'subtle', { value: undefined })", "computes no checksums"),
        ("Object.defineProperty(globalThis, 'indexedDB', { value: undefined })", "This browser keeps nothing"),
        ("IDBFactory.prototype.open = () => { throw new DOMException('no', 'SecurityError'); }", "This browser keeps nothing"),
        ("StorageManager.prototype.persisted = StorageManager.prototype.persist = async () => false", ""),
    ],
)  # fmt: skip
def test_what_a_browser_lacks_is_said(server: Replaced, phone: Callable[..., Phone], taken: str, says: str) -> None:
    server.start("as it is")
    tab = phone().start()
    tab.page.add_init_script(taken)
    tab.page.goto("/phone/")
    tab.page.wait_for_selector("#main h1")
    if says:
        until(lambda: says in tab.page.locator("#main").inner_text(), says)
    assert tab.page.locator("a[href='/jobs']").count()
    assert tab.faults == []


def test_a_browser_that_may_forget_is_told_plainly_once_there_is_something_to_lose(
    server: Replaced, phone: Callable[..., Phone]
) -> None:
    server.start("as it is")
    tab = phone().start()
    answers = "StorageManager.prototype.persisted = StorageManager.prototype.persist = async () => false"
    tab.page.add_init_script(answers)
    tab.page.goto("/phone/")
    tab.soon(READY)
    forgets = tab.page.locator("[data-forgets]")
    assert forgets.is_hidden()
    tab.put(DRAFT)
    tab.open()
    forgets.wait_for(state="visible")
    assert "Send early" in forgets.inner_text()


def test_another_machine_by_http_says_what_works_and_what_does_not(server: Replaced, phone: Callable[..., Phone]) -> None:
    server.start("http", HEATERAPP_HOSTS="phone.port-larkin.example")
    far = f"http://phone.port-larkin.example:{server.port}"
    tab = phone(far, "--host-resolver-rules=MAP phone.port-larkin.example 127.0.0.1").start()
    tab.page.goto("/phone/")
    tab.soon(READY)
    assert tab.page.evaluate("[isSecureContext, Boolean(navigator.serviceWorker), Boolean(crypto.subtle)]") == [False] * 3
    until(lambda: "not secure (no https)" in tab.page.locator("[data-lacks]").inner_text(), "what does not work")
    tab.put(DRAFT)
    tab.go(f"{DRAFT['id']}/water")
    tab.type(str(DRAFT["id"]), "house_pressure_psi", "58")
    tab.page.goto("/jobs")
    assert "sign-in" in tab.page.url
    # Over plain http a browser says of one header that it is of no use there; nothing else is wrong.
    assert [one for one in tab.faults if "Cross-Origin-Opener-Policy header has been ignored" not in one] == []


def test_the_home_screen_is_offered_quietly_and_by_words_where_the_browser_has_no_way(
    server: Replaced, phone: Callable[..., Phone]
) -> None:
    server.start("as it is")
    tab = phone(whole=True).start()
    tab.page.add_init_script("globalThis.offer = () => { const one = new Event('beforeinstallprompt', { cancelable: true });"
        " one.prompt = async () => { globalThis.prompted = (globalThis.prompted ?? 0) + 1; };"
        " dispatchEvent(one); return one.defaultPrevented; };")  # fmt: skip
    tab.page.goto("/phone/")
    tab.soon(READY)
    assert tab.page.locator("[data-apple]").is_hidden()
    assert tab.page.evaluate("offer()") is True
    button = tab.page.locator("[data-install]")
    assert button.inner_text() == "Keep on the home screen"
    button.click()
    assert tab.page.evaluate("prompted") == 1
    assert button.is_hidden()
    tab.page.add_init_script("Object.defineProperty(navigator, 'standalone', { value: false })")
    tab.open()
    tab.page.locator("[data-apple]").wait_for(state="visible")
    assert "Share, then Add to Home Screen" in tab.page.locator("[data-apple]").inner_text()
