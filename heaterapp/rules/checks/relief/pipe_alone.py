"""The relief pipe serves the relief valve alone.

Why: another drain in the pipe can fill it or block it when the valve opens.
Fix: run the other drain separately.
"""

from ...questions.relief import PIPE
from ...report import Result, fails, meets

CLAUSES = ("relief.pipe_run",)
WHEN = PIPE


def check(relief_shared: bool) -> Result:
    if not relief_shared:
        return meets("Serves the relief valve alone.", "alone", "alone")
    return fails("Another drain joins the relief pipe.", "shared", "alone")
