"""How long the phone's pages take to be usable: cold, kept on the phone, no network, the CPU slowed."""

from __future__ import annotations

import argparse
import statistics
from collections.abc import Iterator
from pathlib import Path
from typing import Any

from heaterapp import slowed_browser
from heaterapp.timing import Measured

SLOWED = 4
USABLE_BAR_S = 2
SHELL_BAR_KB = 150
FIELD = "house_pressure_psi"
DRAFT = {
    "id": "00000000-0000-4000-8000-000000000001", "form": 1, "job": None, "base": None,
    "made_at": "2026-01-05T15:00:00Z", "changed_at": "2026-01-05T15:00:00Z", "who": None, "typed": {},
    "boxes": {}, "at": "water", "told": None, "signatures": None, "photos": [], "state": "draft",
    "parcel": None, "parcel_sha256": None, "problem": None, "tries": 0, "next_try_at": None,
    "ready_at": None, "number": None, "link": None,
    "answers": {
        "heater_kind": "gas_storage", "job_kind": "same_place", "place": "model_upc_2024", FIELD: "60",
    },
}  # fmt: skip
KEEP = """(draft) => new Promise((done, fail) => {
  const asked = indexedDB.open("heaterapp");
  asked.onerror = () => fail(asked.error);
  asked.onsuccess = () => {
    const run = asked.result.transaction("drafts", "readwrite");
    run.objectStore("drafts").put(draft);
    run.oncomplete = () => { asked.result.close(); done(); };
  };
})"""
WATCH = """
  addEventListener("input", () => { globalThis.typedAt ??= performance.now(); }, true);
  new MutationObserver(() => {
    if (document.documentElement?.dataset.ready) globalThis.readyAt ??= performance.now();
  }).observe(document, { subtree: true, attributes: true, attributeFilter: ["data-ready"] });
"""
READY = "() => Boolean(document.documentElement.dataset.ready)"
KEPT = """async () => {
  const names = await caches.keys();
  return Boolean(navigator.serviceWorker.controller) && names.some((name) => name.startsWith("shell-"));
}"""


def kept(page: Any, url: str) -> None:
    """Open the phone's pages on line, and wait until they are kept."""
    page.goto(f"{url}/phone/")
    slowed_browser.until(page, READY)
    slowed_browser.until(page, KEPT)


def usable_once(profile: Path, url: str) -> tuple[float, float]:
    """Seconds from the start of the navigation to a shown section, and to a keystroke in its field.

    The profile has the pages kept and the draft in its store; the server is gone.
    """
    with slowed_browser.page(profile, SLOWED) as page:
        page.add_init_script(WATCH)
        page.goto(f"{url}/phone/#/{DRAFT['id']}/water", wait_until="commit")
        slowed_browser.until(page, READY)
        page.focus(f"#q-{FIELD}")
        page.keyboard.press("1")
        slowed_browser.until(page, "() => globalThis.typedAt > 0")
        shown, typed = page.evaluate("[readyAt, typedAt]")
    return shown / 1000, typed / 1000


def shell_part(options: argparse.Namespace) -> Iterator[Measured]:
    """All that a phone keeps before its pages can be used, as it is sent."""
    from heaterapp import create_app
    from heaterapp.languages import LANGUAGES
    from heaterapp.web.phone_build import build

    app = create_app(DATA_DIR=str(options.folder / "shell"), SECRET_KEY="benchmark only " * 3)
    with app.app_context():
        size = max(sum(map(len, build(language).packed.values())) for language in LANGUAGES)
    app.extensions["archive"].close()
    yield Measured("the phone's own shell, gzip", size / 1000, SHELL_BAR_KB, "KB")


def phone_part(options: argparse.Namespace) -> Iterator[Measured]:
    """The pages kept on a phone, its server then ended; a fresh browser process each time."""
    slowed_browser.program()
    folder = options.folder / "phone"
    data, profile = folder / "data", folder / "profile"
    slowed_browser.prepared(data)
    with slowed_browser.served(data) as url, slowed_browser.page(profile) as page:
        kept(page, url)
        page.evaluate(KEEP, DRAFT)
    times = [usable_once(profile, url) for _ in range(min(options.rounds, 7) + 1)][1:]
    shown, typed = (statistics.median(some) for some in zip(*times, strict=True))
    name = f"form usable, cold, kept, no network, CPU slowed {SLOWED} x"
    yield Measured(f"{name} ({shown:.2f} s shown)", typed, USABLE_BAR_S, "s")
