"""No trap or low spot stands in the relief pipe.

Why: trapped water scales the valve shut and freezes.
Fix: take the low spot out.
"""

from ...questions.relief import PIPE
from ...report import Result, fails, meets

CLAUSES = ("relief.pipe_run",)
WHEN = PIPE


def check(relief_trap: bool) -> Result:
    if not relief_trap:
        return meets("No trap.", "no trap", "no trap")
    return fails("A trap or low spot in the pipe.", "trap", "no trap")
