"""What the phone's Python answers, held to the byte against this one: `python tests/browser/engine_bytes.py`.

For every job of tests/jobs, and one under an office's own amendments: its report; and what the door tells of each
section, of the review, of the seal and of the photos. `differences(page, every=7)` reports every job and takes every
seventh of the others, so that each job has some and each section many.
"""

from __future__ import annotations

import hashlib
import json
import sys
import tempfile
from pathlib import Path
from typing import Any

sys.path.insert(0, str(Path(__file__).parent.parent.parent))

from playwright.sync_api import Page, sync_playwright

from heaterapp import rules
from heaterapp.filling import door

JOBS: dict[str, dict[str, Any]] = {
    path.stem: json.loads(path.read_text(encoding="utf-8"))["answers"]
    for path in sorted((Path(__file__).parent.parent / "jobs").glob("*.json"))
}
OWN = rules.read_amendments({
    "name": "port_larkin", "title": "Port Larkin water rules", "version": 2, "on": "2026-02-01", "base": "us_ca_2022",
    "clauses": {"supply.pressure_limit": {"section": "PL 6.1", "says": "Not above 75 psi.", "values": {"limit": "75"}}},
})  # fmt: skip
AMENDED = {**JOBS["gas_storage_us_ca"], "amendments": OWN, "house_pressure_psi": "78"}
ENGINE = """
  const at = document.querySelector('script[src$="phone/main.js"]').src;
  const engine = await import(new URL("engine.js", at));
"""
ASK = f"async (wishes) => {{ {ENGINE} const told = []; for (const wish of wishes) told.push(await engine.ask(wish)); return told; }}"
HASHED = f"""async (wishes) => {{ {ENGINE}
  const hashes = [];
  for (const wish of wishes) {{
    const text = new TextEncoder().encode(JSON.stringify(await engine.ask(wish)));
    const sum = new Uint8Array(await crypto.subtle.digest("SHA-256", text));
    hashes.push([...sum].map((byte) => byte.toString(16).padStart(2, "0")).join(""));
  }}
  return hashes;
}}"""


def wishes(every: int = 1) -> list[dict[str, Any]]:
    """What is asked beside the reports: of each job every so manyth, begun at another one for the next job."""
    found = []
    for at, answers in enumerate([*JOBS.values(), AMENDED]):
        plain: dict[str, Any] = {"do": "told", "answers": answers, "changes": {}, "unread": []}
        of_this = [{**plain, "section": section} for section in rules.SECTIONS]
        of_this += [{"do": do, "answers": answers} for do in ("review", "seal", "photos")]
        found += of_this[at % every :: every]
    return found


def differences(page: Page, every: int = 1) -> list[str]:
    """Return what is answered otherwise by the page's own Python than by this one."""
    every_job = {**JOBS, "amended": AMENDED}
    reports = page.evaluate(ASK, [{"do": "report", "answers": answers} for answers in every_job.values()])
    wrong = []
    for (name, answers), one in zip(every_job.items(), reports, strict=True):
        if one["report"].encode() != rules.assess(answers).to_bytes() or one["ruleset"]["digest"] != rules.digest():
            wrong.append(f"report of {name}")
    asked = wishes(every)
    for wish, theirs in zip(asked, page.evaluate(HASHED, asked), strict=True):
        answer = json.dumps(json.loads(door.call(json.dumps(wish))), ensure_ascii=False, separators=(",", ":"))
        if hashlib.sha256(answer.encode()).hexdigest() != theirs:
            wrong.append(f"{wish['do']} {wish.get('section', '')} of {wish['answers'].get('job_ref')}")
    return wrong


def main() -> int:
    """Ask a browser everything; exit 1 where an answer differs."""
    from tests.browser.conftest import CHROMIUM, FLAGS, served_here

    with tempfile.TemporaryDirectory() as folder, served_here(Path(folder)) as served, sync_playwright() as driver:
        browser = driver.chromium.launch(executable_path=CHROMIUM, args=FLAGS)
        page = browser.new_page()
        page.goto(f"{served.url}/phone/")
        said = "() => document.querySelector('[data-engine]').textContent.includes('Judges on this phone')"
        page.wait_for_function(said, timeout=60_000)
        wrong = differences(page)
        browser.close()
    print(*wrong, f"{len(JOBS) + 1} reports and {len(wishes())} other answers: {len(wrong)} differ", sep="\n")
    return 1 if wrong else 0


if __name__ == "__main__":
    sys.exit(main())
