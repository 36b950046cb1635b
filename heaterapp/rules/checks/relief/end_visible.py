"""The end of the relief pipe can be seen.

Why: a valve that drips unseen is the first and only warning.
Fix: end the pipe where people living there will see it run.
"""

from ...questions.relief import OPEN_PIPE
from ...report import Result, fails, meets

CLAUSES = ("relief.end_visible",)
WHEN = OPEN_PIPE


def check(relief_end_visible: bool) -> Result:
    if relief_end_visible:
        return meets("The end can be seen.", "seen", "seen")
    return fails("The end cannot be seen.", "not seen", "seen")
