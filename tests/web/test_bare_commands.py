"""The commands where nothing but Python is installed: the machine door runs, the others say what to install."""

from __future__ import annotations

import json
import subprocess
import sys
from pathlib import Path

ROOT = Path(__file__).parents[2]


def test_the_machine_door_needs_nothing_but_python(tmp_path: Path) -> None:
    job = tmp_path / "job.json"
    job.write_text(json.dumps({"place": "us_ca_2022"}))
    for arguments in (["assess", str(job)], ["schema"]):
        bare = [sys.executable, "-I", "-S", "-c"]
        code = f"import sys; sys.path.insert(0, {str(ROOT)!r}); from heaterapp.__main__ import main; sys.exit(main({arguments!r}))"
        done = subprocess.run([*bare, code], capture_output=True, check=False)
        assert done.returncode == 0, done.stderr
        assert json.loads(done.stdout)


def test_the_other_commands_say_what_to_install_where_it_is_not() -> None:
    code = f"import sys; sys.path.insert(0, {str(ROOT)!r}); from heaterapp.__main__ import main; sys.exit(main(['setup']))"
    done = subprocess.run(
        [sys.executable, "-I", "-S", "-c", code], capture_output=True, text=True, check=False
    )
    assert done.returncode == 2
    assert ".ci/start" in done.stderr
    assert done.stderr.count("\n") == 1
