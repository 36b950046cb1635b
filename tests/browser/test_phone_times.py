"""The benchmark's own browser: each promise of the phone's pages and of the engine is printed beside its bar."""

from __future__ import annotations

import os
import re
import subprocess
import sys
from pathlib import Path

import pytest

from .conftest import CHROMIUM, ROOT, SHELL

pytestmark = pytest.mark.browser
FORM = re.compile(r"form usable, cold, kept, no network, CPU slowed 4 x \(\d+\.\d\d s shown\) +\d+\.\d\d s +bar +2\.00 s +(kept|MISSED)$")
ENGINE = re.compile(r".* [0-9.]+ (?P<unit>MB|x|ms) +bar +[0-9.]+ (?P=unit) +(kept|MISSED)$")


def test_each_promise_of_the_phone_and_of_the_engine_is_printed_beside_its_bar(tmp_path: Path) -> None:
    # What a benchmark calls `chromium` is here the one without windows, at half the cost; its figures count for nothing.
    (tmp_path / "chromium").symlink_to(SHELL if Path(SHELL).exists() else CHROMIUM)
    path = f"{tmp_path}{os.pathsep}{os.environ['PATH']}"
    # A process of its own: two browsers' drivers do not live in one.
    command = [sys.executable, "-m", "heaterapp", "benchmark", "--only", "phone", "--only", "engine", "--rounds", "1"]
    done = subprocess.run(
        command, cwd=ROOT, env={**os.environ, "PATH": path}, capture_output=True, text=True, timeout=300, check=False
    )
    first, *lines, last = done.stdout.splitlines()
    form, engine = FORM.match(first), [ENGINE.match(line) for line in lines]
    assert form, done.stdout + done.stderr
    assert [found and found["unit"] for found in engine] == ["MB", "x", "ms"], done.stdout + done.stderr
    missed = any(found and found[found.re.groups] == "MISSED" for found in (form, *engine))
    assert last == ("A bar is missed." if missed else "Every bar is kept.")
    assert done.returncode == int(missed)
