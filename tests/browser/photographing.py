"""A job on a phone with its photos: begun in the phone's own store, photographed by the page's own buttons."""

from __future__ import annotations

import time
from collections.abc import Callable
from typing import Any

from playwright.sync_api import CDPSession, Page

from heaterapp.sample_photo import sample_photo

GAS = {
    "heater_kind": "gas_storage", "job_kind": "same_place", "place": "us_ca_2022", "address_street": "12 N. Oak Ave",
    "address_city": "Port Larkin", "heater_maker": "Tidewater", "heater_serial": "LW26K0041877",
}  # fmt: skip
BEGIN = """async ([answers, more]) => {
  const { build } = JSON.parse(document.getElementById("settings").textContent);
  const { begun } = await import(`/phone/${build}/phone/drafts.js`);
  const store = await import(`/phone/${build}/phone/store.js`);
  const draft = begun(answers, null, more);
  await store.put("drafts", draft);
  return draft.id;
}"""
KEPT = """async (id) => {
  const { build } = JSON.parse(document.getElementById("settings").textContent);
  const store = await import(`/phone/${build}/phone/store.js`);
  const photos = await store.photosOf(id);
  for (const one of photos) {
    const sum = new Uint8Array(await crypto.subtle.digest("SHA-256", one.bytes));
    one.true_sum = [...sum].map((byte) => byte.toString(16).padStart(2, "0")).join("");
    one.bytes = one.bytes.byteLength;
  }
  return [await store.get("drafts", id), photos];
}"""


def begun(page: Page, answers: dict[str, Any] | None = None, **more: Any) -> str:
    """The id of a job on this phone; the page stands at the list of jobs afterwards."""
    page.goto("/phone/")
    page.wait_for_selector("html[data-ready=yes]", state="attached")
    return str(page.evaluate(BEGIN, [GAS if answers is None else answers, more]))


def at_photos(page: Page, job: str) -> None:
    """The page of the job's photos, its list of this job's kinds told."""
    page.goto(f"/phone/#/{job}/photos")
    page.wait_for_selector("[data-kind-known] .phone-picture", timeout=60_000)


def kept(page: Page, job: str) -> tuple[dict[str, Any], list[dict[str, Any]]]:
    """The job as the phone keeps it, and its rows of photos: `bytes` is how many, `true_sum` their SHA-256."""
    draft, photos = page.evaluate(KEPT, job)
    return draft, photos


def item_of(page: Page, label: str) -> Any:
    """The part of the page that is for a kind of picture."""
    return page.locator(".phone-picture").filter(has=page.get_by_role("heading", name=label, exact=True))


def input_of(page: Page, label: str, way: str = "take") -> Any:
    """The file input of a kind of picture."""
    return item_of(page, label).locator(f"[data-{way}-file]")


def camera(page: Page, label: str, way: str = "take") -> Any:
    """Press the button and give the file chooser that opens."""
    with page.expect_file_chooser() as opening:
        input_of(page, label, way).click()
    return opening.value


def picture(seed: int, name: str = "IMG_0001.JPG", size: tuple[int, int] = (640, 480)) -> dict[str, Any]:
    """A file as a camera hands it over."""
    return {"name": name, "mimeType": "image/jpeg", "buffer": sample_photo(seed, *size)}


def devtools(page: Page) -> CDPSession:
    """The browser's own door to the page."""
    return page.context.new_cdp_session(page)


def until(told: Callable[[], Any], seconds: float = 20) -> None:
    """Wait until it is true."""
    begun_at = time.monotonic()
    while not told():
        assert time.monotonic() - begun_at < seconds, "it never was so"
        time.sleep(0.05)
