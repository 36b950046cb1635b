"""The relief valve feels the water in the top of the tank.

Why: the hottest water is at the top; a valve that cannot feel it opens too late.
Fix: fit the valve in its own opening in the top 6 in of the tank, with no extension.
"""

from ...questions.plate import STORAGE
from ...questions.relief import FITTED
from ...report import Result, fails, meets

CLAUSES = ("relief.near_top",)
WHEN = FITTED & STORAGE


def check(relief_in_top_6in: bool) -> Result:
    if relief_in_top_6in:
        return meets("In the top 6 in of the tank.", "top 6 in", "top 6 in")
    return fails("Not in the top 6 in of the tank.", "lower", "top 6 in")
