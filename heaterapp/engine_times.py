"""What judging on the phone costs: the download, warm judging against this Python, a keystroke's verdict.

Chromium slows the page's own thread and not its workers. So a keystroke is timed on the slowed page, from the
input to the frame that shows its verdict, and what the worker says it took is added as often as it would
have been slower.
"""

from __future__ import annotations

import argparse
import json
import statistics
import time
import urllib.request
from collections.abc import Iterator
from typing import Any

from heaterapp import phone_python, slowed_browser
from heaterapp.filling import door
from heaterapp.full_gas_job import full_gas_job
from heaterapp.phone_times import DRAFT, FIELD, KEEP
from heaterapp.rules import Job
from heaterapp.timing import Measured

SLOWED = 4
VERDICT_BAR_MS = 120
NATIVE_BAR = 6
DOWNLOAD_BAR_MB = 6.5
SAID = f'[data-q="{FIELD}"] [data-said]'
KEYS = ("5", "Backspace")
"""Pressed after a pressure of 8: 85 psi, above the limit, then 8 psi again, below it."""
HEAR = """
  const Own = globalThis.Worker;
  globalThis.Worker = class extends Own {
    constructor(...given) {
      super(...given);
      globalThis.engine = this;
      this.addEventListener("message", ({ data }) => {
        if (data.up) globalThis.engineUp = true;
        if (data.ms !== undefined) globalThis.heard = data;
      });
    }
  };
"""
WATCH = f"""() => {{
  addEventListener("input", () => {{
    const from = performance.now();
    const shown = document.querySelector('{SAID}');
    const seen = new MutationObserver(() => {{
      seen.disconnect();
      const told = () => {{ globalThis.verdict = [performance.now() - from, globalThis.heard.ms]; }};
      requestAnimationFrame(() => setTimeout(told));
    }});
    seen.observe(shown, {{ childList: true, subtree: true, characterData: true }});
  }}, true);
}}"""
ASK = """(wish) => new Promise((done) => {
  const id = -Math.floor(1e9 * Math.random());
  const hear = ({ data }) => {
    if (data.id !== id) return;
    engine.removeEventListener("message", hear);
    done(data);
  };
  engine.addEventListener("message", hear);
  engine.postMessage({ id, wish });
})"""
GIVEN = "() => JSON.parse(document.getElementById('settings').textContent).engine"


def engine_part(options: argparse.Namespace) -> Iterator[Measured]:
    """The engine in a real browser: its download, its judging against this Python, a keystroke's verdict."""
    if not phone_python.packed_files():
        raise ImportError("the Python for phones was not fetched", name="Pyodide (sh .ci/start fetches it)")
    folder = options.folder / "engine"
    data, profile = folder / "data", folder / "profile"
    slowed_browser.prepared(data)
    answers = Job({**full_gas_job(), FIELD: "8"}).canonical()
    with slowed_browser.served(data) as url, slowed_browser.page(profile, SLOWED) as page:
        page.add_init_script(HEAR)
        page.goto(f"{url}/phone/")
        slowed_browser.until(page, "() => globalThis.engineUp === true")
        loaded = _download(url, page.evaluate(GIVEN)["files"])
        yield Measured("offline engine, one download, as br packs it", loaded / 1e6, DOWNLOAD_BAR_MB, "MB")
        yield _against_native(page, answers, options.rounds)
        page.evaluate(KEEP, {**DRAFT, "answers": answers})
        yield _keystroke(page, url, options.rounds)


def _download(url: str, files: list[dict[str, Any]]) -> int:
    """Bytes that a phone loads once, each part as the server sends it."""
    total = 0
    for one in files:
        asked = urllib.request.Request(url + one["at"], headers={"Accept-Encoding": "br"})  # noqa: S310 - our own
        with urllib.request.urlopen(asked) as answer:  # noqa: S310 - our own address
            total += len(answer.read())
    return total


def _against_native(page: Any, answers: dict[str, Any], rounds: int) -> Measured:
    """One full gas job to its bytes, in turns, in the browser's Python by its own clock and in this one."""
    wish = json.dumps({"do": "report", "answers": answers})
    there: list[float] = []
    here: list[float] = []
    for _ in range(rounds * 3 + 5):
        there.append(page.evaluate(ASK, wish)["ms"])
        began = time.perf_counter()
        door.call(wish)
        here.append((time.perf_counter() - began) * 1000)
    browser, native = statistics.median(there[5:]), statistics.median(here[5:])
    name = f"browser's Python, warm ({browser:.1f} ms), against native"
    return Measured(name, browser / native, NATIVE_BAR, "x")


def _keystroke(page: Any, url: str, rounds: int) -> Measured:
    page.goto(f"{url}/phone/#/{DRAFT['id']}/water")
    slowed_browser.until(page, "() => globalThis.engineUp === true")
    slowed_browser.until(page, f"() => document.querySelector('{SAID}')?.textContent")
    page.evaluate(WATCH)
    page.focus(f"#q-{FIELD}")
    page.keyboard.press("End")
    took: list[tuple[float, float]] = []
    for at in range(rounds * 2 + 4):
        page.focus(f"#q-{FIELD}")
        page.evaluate("globalThis.verdict = null")
        page.keyboard.press(KEYS[at % 2])
        slowed_browser.until(page, "() => globalThis.verdict !== null")
        whole, judging = page.evaluate("globalThis.verdict")
        took.append((whole + (SLOWED - 1) * judging, judging))
        # As a person types: what the page does after a verdict is done before the next key.
        page.wait_for_timeout(150)
    verdict, judging = (statistics.median(some) for some in zip(*took[4:], strict=True))
    name = f"verdict after a keystroke, CPU slowed {SLOWED} x ({judging * SLOWED:.0f} ms of it judging)"
    return Measured(name, verdict, VERDICT_BAR_MS, "ms")
