"""Kills the browser at random keystrokes and looks at what the phone kept: `python tests/browser/page_kills.py 500`.

Every process of it ends at once (SIGKILL), the one that writes the store included. What was typed longer than
300 ms before must stand in the draft, and every draft must be whole.
"""

from __future__ import annotations

import json
import random
import sys
import tempfile
import time
from pathlib import Path
from typing import Any

sys.path.insert(0, str(Path(__file__).parent.parent.parent))
sys.path.insert(0, str(Path(__file__).parent))

from on_phone import Phone
from playwright.sync_api import BrowserType, Page, sync_playwright

MOST_LOST_S = 0.3
FIELDS = {
    "job": ("owner_name", "address_street"),
    "plate": ("heater_maker", "heater_model", "heater_serial"),
    "water": ("house_pressure_psi",),
}
LETTERS = "abcdefghij klmnop"
DRAFTS = """() => new Promise((done, fail) => { const asked = indexedDB.open("heaterapp"); asked.onerror = () => fail(asked.error);
  asked.onsuccess = () => { const rows = asked.result.transaction("drafts").objectStore("drafts").getAll();
    rows.onsuccess = () => { asked.result.close(); done(JSON.stringify(rows.result)); }; }; })"""
KEPT = ("id", "form", "answers", "typed", "boxes", "at", "state", "made_at", "changed_at")


class Kills:
    """One phone that is killed again and again."""

    def __init__(self, one: Phone, page: Page, seed: int) -> None:
        self.one, self.page, self.chance = one, page, random.Random(seed)
        self.done, self.longest_s = 0, 0.0

    def trial(self) -> None:
        """Open a section, type into a field, kill at a random moment, look at what is kept.

        raises  AssertionError where something typed before the last 300 ms is lost, or a draft is broken
        """
        section = self.chance.choice(list(FIELDS))
        name = self.chance.choice(FIELDS[section])
        draft = self._only_draft()["id"]
        self.page.goto(f"/phone/#/{draft}/{section}")
        box = self.page.locator(f'[data-q="{name}"] input[name="{name}"]')
        box.evaluate("one => { for (let fold = one.closest('details'); fold; fold = fold.parentElement.closest('details')) fold.open = true; }")
        box.fill("")
        stood = [(time.monotonic(), "")]
        text = ""
        for _ in range(self.chance.randint(3, 14)):
            text += self.chance.choice("123456789" if section == "water" else LETTERS).strip() or "x"
            box.press(text[-1])
            stood.append((time.monotonic(), text))
            time.sleep(self.chance.choice((0, 0, 0.02, 0.05, 0.12)))
        time.sleep(self.chance.choice((0, 0, 0, 0.01, 0.1, 0.35)))
        killed = time.monotonic()
        self._kill()
        kept = self._only_draft()
        assert all(part in kept for part in KEPT), f"a draft lacks {set(KEPT) - set(kept)}"
        self._judge_loss(stood, killed, str(kept["boxes"].get(name, {}).get("", "")), name)
        self.done += 1

    def _judge_loss(self, stood: list[tuple[float, str]], killed: float, kept: str, name: str) -> None:
        assert any(text == kept for _, text in stood), f"{name}: {kept!r} was never typed"
        lost = [at for at, text in stood if len(text) > len(kept)]
        if lost:
            self.longest_s = max(self.longest_s, killed - lost[0])
            assert killed - lost[0] <= MOST_LOST_S, f"{name}: what was typed {killed - lost[0]:.3f} s before is lost"

    def _kill(self) -> None:
        self.one.kill()
        self.page = self.one.start()
        self.one.ready(self.page)

    def _only_draft(self) -> dict[str, Any]:
        drafts: list[dict[str, Any]] = json.loads(self.page.evaluate(DRAFTS))
        assert len(drafts) == 1, f"{len(drafts)} drafts"
        return drafts[0]


def begin(page: Page) -> None:
    """Begin the one job that is typed into."""
    page.goto("/phone/#/new")
    page.locator('label:has(> input[value="gas_storage"])').click()
    page.select_option("#place", "us_ca_2022")
    page.get_by_role("button", name="Start").click()
    page.locator("form.job-form").wait_for()


def run_on(chromium: BrowserType, url: str, folder: Path, times: int, seed: int = 1) -> Kills:
    """Kill so many times on a phone of its own."""
    one = Phone(chromium, folder, url, whole=True)
    try:
        page = one.start()
        one.ready(page)
        begin(page)
        kills = Kills(one, page, seed)
        for at in range(times):
            kills.trial()
            if at % 25 == 24:
                print(f"{at + 1} kills, the longest loss {kills.longest_s * 1000:.0f} ms", flush=True)
        return kills
    finally:
        one.kill()


def main() -> None:
    """Serve an empty archive, and kill."""
    from conftest import served_here

    times = int(sys.argv[1]) if len(sys.argv) > 1 else 500
    with tempfile.TemporaryDirectory() as folder, served_here(Path(folder)) as served:
        with sync_playwright() as driver:
            kills = run_on(driver.chromium, served.url, Path(folder) / "profile", times)
    print(f"{kills.done} kills: no draft lost or broken, the longest loss {kills.longest_s * 1000:.0f} ms")


if __name__ == "__main__":
    main()
