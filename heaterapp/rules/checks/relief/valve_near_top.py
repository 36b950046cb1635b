"""The relief valve feels the water in the top of the tank.

Why: the hottest water is at the top; a valve that cannot feel it opens too late.
Fix: fit the valve in its own opening at the top of the tank, with no extension.
"""

from ...questions.plate import STORAGE
from ...questions.relief import FITTED
from ...report import Result, fails, meets
from ...units import Inch, eighths

CLAUSES = ("relief.near_top",)
WHEN = FITTED & STORAGE


def check(relief_in_top_6in: bool, *, top: Inch) -> Result:
    limit = f"top {eighths(top)} in"
    if relief_in_top_6in:
        return meets(f"In the {limit} of the tank.", limit, limit)
    fix = f"Fit the valve in its own opening in the {limit} of the tank, with no extension."
    return fails(f"Not in the {limit} of the tank.", "lower", limit, fix=fix)
