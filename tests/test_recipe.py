"""The worked recipe of DEVELOPERS.md is followed to the letter in a copy of the tree."""

from __future__ import annotations

import re
import shutil
import subprocess
import sys
from pathlib import Path

ROOT = Path(__file__).parent.parent


def test_a_new_check_on_existing_questions_costs_two_files(tmp_path: Path) -> None:
    for part in ("heaterapp", "static", "tests", "pyproject.toml"):
        source = ROOT / part
        copy = shutil.copytree if source.is_dir() else shutil.copy
        copy(
            source,
            tmp_path / part,
            **({"ignore": shutil.ignore_patterns("__pycache__")} if source.is_dir() else {}),
        )
    said = (ROOT / "DEVELOPERS.md").read_text(encoding="utf-8")
    blocks = re.findall(r"```(?:python|toml)\n# (\S+)\n(.*?)```", said, re.DOTALL)
    assert len(blocks) == 2
    for name, text in blocks:
        target = tmp_path / name
        assert not target.exists(), f"{name} stands in the tree already"
        target.write_text(text, encoding="utf-8")
    done = subprocess.run(
        # without conftest.py: nothing here asks for a database
        [
            sys.executable, "-m", "pytest", "-q", "-p", "no:cacheprovider", "--noconftest", "tests/test_cases.py", "tests/test_house.py",
            "-k", "tap_not_above_setting or test_house",
        ],
        cwd=tmp_path, capture_output=True, text=True, check=False,
    )  # fmt: skip
    assert done.returncode == 0, done.stdout[-3000:]
    assert "passed" in done.stdout
