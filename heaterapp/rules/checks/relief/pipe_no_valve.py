"""No valve or tee stands in the relief pipe.

Why: a closed valve turns the tank into a bomb.
Fix: stop: take the valve or tee out before the heater runs.
"""

from ...questions.relief import PIPE
from ...report import Result, fails, meets

CLAUSES = ("relief.pipe_run",)
WHEN = PIPE
HAZARD = True


def check(relief_valve_in_line: bool) -> Result:
    if not relief_valve_in_line:
        return meets("No valve or tee.", "none", "none")
    return fails(
        "A valve or tee in the relief pipe. Stop. Do not leave this heater running.", "valve or tee", "none"
    )
