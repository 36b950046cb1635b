"""The relief pipe falls all the way.

Why: water that stays in the pipe scales the valve shut and freezes.
Fix: re-run the pipe so that it falls from the valve to its end.
"""

from ...questions.relief import PIPE
from ...report import Result, fails, meets

CLAUSES = ("relief.pipe_run",)
WHEN = PIPE


def check(relief_falls_all_the_way: bool) -> Result:
    if relief_falls_all_the_way:
        return meets("Falls all the way.", "falls", "falls")
    return fails("Does not fall all the way.", "does not fall", "falls")
