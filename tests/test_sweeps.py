"""The short version of a sweep, and `--whole`."""

import os
import subprocess
import sys
from pathlib import Path

import pytest

from tests import sweeps

ROOT = Path(__file__).parent.parent
ROWS = '''
import pytest
from tests.grids import some
from tests.sweeps import beyond


@pytest.mark.parametrize("at", [1, beyond(2, why={why!r})])
def test_a_row(at):
    assert some([1, 2, 3], 3) == {grid}
'''


def _run(folder, text, *options):
    (folder / "conftest.py").write_text("from tests.conftest import *\n")
    (folder / "test_rows.py").write_text(text)
    command = [sys.executable, "-m", "pytest", "-q", "-p", "no:cacheprovider", "--rootdir", str(folder), *options, str(folder)]
    environment = {name: value for name, value in os.environ.items() if name != "WHOLE_GRIDS"}
    environment["PYTHONPATH"] = str(ROOT)
    done = subprocess.run(command, cwd=folder, env=environment, capture_output=True, text=True, check=False)
    return done.returncode, done.stdout + done.stderr


def test_the_suite_takes_the_short_version_and_one_option_the_whole(tmp_path):
    why = "the same box, by another hand"
    code, said = _run(tmp_path, ROWS.format(why=why, grid=[1]))
    assert (code, "1 passed, 1 deselected" in said) == (0, True), said
    code, said = _run(tmp_path, ROWS.format(why=why, grid=[1, 2, 3]), "--whole")
    assert (code, "2 passed" in said) == (0, True), said


class Row:
    """A test as it was collected."""

    def __init__(self, nodeid, *why):
        self.nodeid, self.mark = nodeid, pytest.mark.sweep(*why).mark if why else None

    def get_closest_marker(self, name):
        return self.mark if name == "sweep" else None


def test_a_row_says_why_and_no_test_is_left_to_the_whole():
    first, second = Row("a.py::test[1]"), Row("a.py::test[2]", "the same box, by another hand")
    assert sweeps.beyond_the_short_version([first, second]) == {second}
    with pytest.raises(pytest.UsageError, match=r"nothing of these tests is left in the suite: a\.py::test"):
        sweeps.beyond_the_short_version([second])
    with pytest.raises(pytest.UsageError, match="says in words"):
        sweeps.beyond_the_short_version([first, Row("a.py::test[3]", "why")])
