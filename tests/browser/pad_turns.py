"""A signature while the phone is turned, zoomed and scrolled at random: every stroke is kept, and every one is in sight.

`python tests/browser/pad_turns.py 1000` makes a thousand turns on a server of its own.
"""

from __future__ import annotations

import random
import sys
import tempfile
from pathlib import Path
from typing import Any

sys.path.insert(0, str(Path(__file__).parent.parent.parent))
sys.path.insert(0, str(Path(__file__).parent))

from conftest import CHROMIUM, FLAGS, PASSWORD, served_here
from phone_views import draft, opened, show
from playwright.sync_api import Page, sync_playwright
from typing_in import job_answers

SIZES = ((360, 640), (640, 360), (412, 915), (915, 412), (320, 568), (820, 1180))
KEPT = """async () => { const base = await new Promise((done) => { const asked = indexedDB.open("heaterapp"); asked.onsuccess = () => done(asked.result); });
  const rows = await new Promise((done) => { const asked = base.transaction("drafts").objectStore("drafts").getAll(); asked.onsuccess = () => done(asked.result); });
  base.close(); return rows[0].signing?.ink.installer?.length ?? 0; }"""
INKED = """() => { const pad = document.querySelector('[data-pad="installer"] canvas');
  const dots = pad.getContext("2d").getImageData(0, 0, pad.width, pad.height).data;
  let rows = new Set(); for (let at = 3; at < dots.length; at += 4) if (dots[at]) rows.add(Math.floor((at - 3) / 4 / pad.width / pad.height * 10));
  return [...rows].sort((a, b) => a - b); }"""


def turned(page: Page, turns: int, seed: int = 4) -> tuple[int, int, list[int]]:
    """Draw while the page is turned about; returns strokes drawn, strokes kept, tenths of the pad's height with ink in them."""
    chance = random.Random(seed)
    pad = page.locator('[data-pad="installer"] canvas')
    drawn = 0
    for at in range(turns):
        happens = chance.random()
        if at % 12 == 0:
            pad.scroll_into_view_if_needed()
            drawn += _stroke(page, pad, chance, chance.choice(SIZES) if happens < 0.4 else None)
        elif happens < 0.6:
            width, height = chance.choice(SIZES)
            page.set_viewport_size({"width": width, "height": height})
        else:
            page.evaluate("by => scrollBy(0, by)", chance.randint(-600, 600))
    page.wait_for_timeout(400)
    return drawn, page.evaluate(KEPT), page.evaluate(INKED)


def _stroke(page: Page, pad: Any, chance: random.Random, turn: tuple[int, int] | None) -> int:
    """One stroke across the pad near its upper or lower edge; the phone may be turned in its middle."""
    box = pad.bounding_box()
    down = box["y"] + box["height"] * chance.choice((0.05, 0.5, 0.95))
    x, y = box["x"] + box["width"] * 0.2, down
    if page.evaluate("([x, y]) => document.elementFromPoint(x, y)?.localName", [x, y]) != "canvas":
        return 0
    page.mouse.move(x, y)
    page.mouse.down()
    page.mouse.move(x + box["width"] * 0.3, y, steps=3)
    if turn:
        page.set_viewport_size({"width": turn[0], "height": turn[1]})
    page.mouse.up()
    return 1


def signing(page: Page) -> None:
    """The page on which a job is signed."""
    opened(page, [draft("gas", job_answers("gas_storage_us_ca"))], [])
    show(page, "gas/sign")


def main(turns: int) -> None:
    with tempfile.TemporaryDirectory() as folder, served_here(Path(folder)) as served, sync_playwright() as driver:
        browser = driver.chromium.launch(executable_path=CHROMIUM, args=FLAGS)
        page = browser.new_page(base_url=served.url, viewport={"width": 360, "height": 640})
        page.goto("/sign-in?next=/phone/")
        page.fill("#login", "riley")
        page.fill("#password", PASSWORD)
        page.click("main button[type=submit]")
        page.wait_for_url("**/phone/**")
        signing(page)
        drawn, kept, tenths = turned(page, turns)
        browser.close()
    print(f"{turns} turns: {drawn} strokes drawn, {kept} kept, {drawn - kept} lost; ink in these tenths of the pad: {tenths}")


if __name__ == "__main__":
    main(int(sys.argv[1]))
