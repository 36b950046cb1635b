"""What the README says in numbers and commands is so."""

from __future__ import annotations

import os
import re
import subprocess
import sys
from pathlib import Path

from heaterapp import __main__
from heaterapp.rules import ruleset_zip

ROOT = Path(__file__).parent.parent
SAID = (ROOT / "README.md").read_text(encoding="utf-8")


def test_every_picture_and_page_it_points_to_is_there() -> None:
    for path in re.findall(r'src="([^"]+)"|\]\(([^)]+)\)', SAID):
        assert (ROOT / "".join(path)).is_file(), path


def test_the_zip_line_judges_a_job_on_bare_python(tmp_path: Path) -> None:
    line = next(one.strip() for one in SAID.splitlines() if "PYTHONPATH=rules.zip" in one)
    (tmp_path / "rules.zip").write_bytes(ruleset_zip())
    (tmp_path / "JOB.json").write_text('{"place": "us_ca", "house_pressure_psi": 95}', encoding="utf-8")
    setting, _, *arguments = line.split()
    environment = {"PATH": os.environ["PATH"], **dict([setting.split("=")])}
    done = subprocess.run(
        [sys.executable, *arguments], cwd=tmp_path, env=environment, capture_output=True, check=False
    )
    assert done.returncode == 0, done.stderr
    assert done.stdout.startswith(b"{")


def test_the_benchmark_takes_its_options_through_the_command() -> None:
    assert __main__.main(["benchmark", "--rounds", "1", "--only", "assess", "--json"]) in (0, 1)
