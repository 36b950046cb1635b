"""The care calendar of every job in both languages, made anew under other hash seeds and other clocks.

    python tests/homeowner/same_bytes.py

exits with 1 where a calendar differs by a byte. The suite makes one again in its own process.
"""

from __future__ import annotations

import hashlib
import os
import subprocess
import sys
from pathlib import Path

sys.path.insert(0, str(Path(__file__).parents[2]))

from heaterapp import homeowner
from tests.homeowner.plain_text import as_text
from tests.homeowner.records import NAMES, known, of_job

ROOT = Path(__file__).parents[2]


def digest() -> str:
    """The SHA-256 over every calendar and every page as text."""
    whole = hashlib.sha256()
    for name in NAMES:
        for language in homeowner.LANGUAGES:
            made = known(of_job(name))
            whole.update(homeowner.care_calendar(made, language))
            whole.update(as_text(homeowner.page_of(made, language)).encode())
    return whole.hexdigest()


def main() -> int:
    """Compare with processes of their own."""
    found = {digest()}
    for seed, zone in (("0", "UTC"), ("77", "Asia/Tokyo"), ("4242", "America/Los_Angeles")):
        env = {**os.environ, "PYTHONHASHSEED": seed, "TZ": zone}
        done = subprocess.run(
            [sys.executable, __file__, "--digest"],
            cwd=ROOT,
            env=env,
            capture_output=True,
            check=True,
            text=True,
        )
        found.add(done.stdout.strip())
    print(
        f"{len(NAMES) * 2} calendars and pages, {len(found)} digest{'s' if len(found) > 1 else ''}: {min(found)}"
    )
    return 0 if len(found) == 1 else 1


if __name__ == "__main__":
    if "--digest" in sys.argv:
        print(digest())
        sys.exit(0)
    sys.exit(main())
