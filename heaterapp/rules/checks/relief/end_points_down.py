"""The end of the relief pipe points down.

Why: scalding water thrown sideways hits whoever stands there.
Fix: turn the end down with an elbow.
"""

from ...questions.relief import OPEN_PIPE
from ...report import Result, fails, meets

CLAUSES = ("relief.end_down",)
WHEN = OPEN_PIPE


def check(relief_end_points_down: bool) -> Result:
    if relief_end_points_down:
        return meets("Points down.", "down", "down")
    return fails("Does not point down.", "not down", "down")
