"""A camera that ends the page: between "camera opened" and "photo came back", again and again.

    python tests/browser/photo_kills.py 100

Each round takes a picture in one tab, whose process is crashed while the chooser is open (every third round while
the picture is being kept, or just after it was said to be); a fresh tab then has every answer, every picture that was said to be
kept, and is back at the one that was being taken. Exits 1 where anything was lost.
"""

from __future__ import annotations

import argparse
import random
import sys
from pathlib import Path
from typing import Any

from playwright.sync_api import Browser, Page, sync_playwright

sys.path.insert(0, str(Path(__file__).parent.parent.parent))

from tests.browser.photographing import at_photos, begun, camera, devtools, kept, picture, until

KINDS = ("Data plate", "Drip leg", "Whole heater from the front", "Pressure gauge", "Straps, with a tape")
WHILE_KEEPING = 3
FLAGS = ["--no-sandbox", "--disable-gpu", "--disable-background-networking"]


def _crash(page: Page) -> None:
    """End the page's process as a phone short of memory does: at once, with nothing said before."""
    door = devtools(page)
    with page.expect_event("crash", timeout=60_000):
        # Nobody is left to answer this call: waiting for its answer would be for ever.
        sent = page._loop.create_task(door._impl_obj.send("Page.crash", {}, None))
        sent.add_done_callback(lambda one: one.cancelled() or one.exception())


def _round(page: Page, job: str, nth: int, rng: random.Random, said: set[str]) -> tuple[Page, list[str]]:
    """One picture begun in a tab that dies; the next tab, and what it lacks in words."""
    if not page.url.endswith(f"#/{job}/photos"):
        at_photos(page, job)
    before, _ = kept(page, job)
    label = rng.choice(KINDS)
    chooser = camera(page, label)
    if nth % WHILE_KEEPING == 0:
        chooser.set_files(picture(nth + 1, size=(1600, 1200)))
        if nth % (2 * WHILE_KEEPING):
            page.wait_for_timeout(rng.randrange(400))
        else:
            until(lambda: page.locator("[data-shot]").count() > len(before["photos"]))
        said |= set(page.evaluate("[...document.querySelectorAll('[data-shot]')].map((one) => one.dataset.shot)"))
    _crash(page)
    fresh = page.context.new_page()
    page.close()
    return fresh, _lacks(fresh, job, before, said, label, nth)


def _lacks(page: Page, job: str, before: Any, said: set[str], label: str, nth: int) -> list[str]:
    page.goto("/phone/")
    page.wait_for_selector("html[data-ready=yes]", state="attached")
    after, rows = kept(page, job)
    faults = []
    if any(after[part] != before[part] for part in ("answers", "typed", "boxes", "id")):
        faults.append(f"round {nth}: the answers are others")
    have = {one["id"] for one in after["photos"]}
    if not said <= have or not {one["id"] for one in before["photos"]} <= have:
        faults.append(f"round {nth}: a picture that was said to be kept is gone")
    whole = {one["id"] for one in rows if one["true_sum"] == one["sha256"]}
    if have - whole:
        faults.append(f"round {nth}: bytes of {len(have - whole)} pictures are gone or damaged")
    if len(have) == len(before["photos"]):
        back = page.locator(".phone-picture [data-back]")
        if not page.url.endswith(f"#/{job}/photos") or f"You were at: {label}." not in (back.text_content(timeout=15_000) or ""):
            faults.append(f"round {nth}: not back at {label}")
        if not page.evaluate("document.activeElement?.matches('[data-take-file]') ?? false"):
            faults.append(f"round {nth}: the button is not at hand")
    return faults


def kills(browser: Browser, url: str, count: int, seed: int = 1) -> tuple[list[str], int]:
    """What was lost in so many rounds, in words; and how many pictures were kept."""
    rng, said = random.Random(seed), set[str]()
    context = browser.new_context(base_url=url, viewport={"width": 360, "height": 740})
    context.set_default_timeout(60_000)
    page = context.new_page()
    page.goto("/sign-in")
    page.fill("#login", "riley")
    page.fill("#password", "copper-kettle-47")
    page.click("main button[type=submit]")
    page.wait_for_url(lambda address: "sign-in" not in address)
    job = begun(page, typed={"house_pressure_psi": "6x"}, boxes={"house_pressure_psi": {"": "6x"}})
    faults = []
    for nth in range(count):
        page, found = _round(page, job, nth, rng, said)
        faults += found
    draft, _ = kept(page, job)
    context.close()
    return faults, len(draft["photos"])


def main() -> int:
    """Start a server of our own, do the rounds, tell."""
    parser = argparse.ArgumentParser()
    parser.add_argument("count", type=int)
    parser.add_argument("--seed", type=int, default=1)
    options = parser.parse_args()
    from tests.browser import conftest as home

    class Folders:
        def mktemp(self, name: str) -> Path:
            import tempfile

            return Path(tempfile.mkdtemp(prefix=name))

    serving = home.served.__wrapped__(Folders())
    served = next(serving)
    with sync_playwright() as driver:
        browser = driver.chromium.launch(executable_path=home.CHROMIUM, args=FLAGS)
        faults, pictures = kills(browser, served.url, options.count, options.seed)
        browser.close()
    next(serving, None)
    print(f"{options.count} pages ended with a camera open: {len(faults)} faults, {pictures} pictures kept", *faults, sep="\n")
    return 1 if faults else 0


if __name__ == "__main__":
    sys.exit(main())
