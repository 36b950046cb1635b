"""The benchmark's own browser: the phone's pages open from what is kept, and the line with its bar is printed."""

from __future__ import annotations

import re
import subprocess
import sys
from pathlib import Path

import pytest

pytestmark = pytest.mark.browser
ROOT = Path(__file__).parent.parent.parent
LINE = re.compile(r"^form usable, cold, kept, no network, CPU slowed 4 x \(\d+\.\d\d s shown\) +\d+\.\d\d s +bar +2\.00 s +(kept|MISSED)$", re.M)


def test_the_time_to_a_usable_form_is_printed_beside_its_bar() -> None:
    # A process of its own: two browsers' drivers do not live in one.
    command = [sys.executable, "-m", "heaterapp", "benchmark", "--only", "phone", "--rounds", "1"]
    done = subprocess.run(command, cwd=ROOT, capture_output=True, text=True, timeout=300, check=False)
    found = LINE.search(done.stdout)
    assert found, done.stdout + done.stderr
    assert done.returncode == int(found[1] == "MISSED")
