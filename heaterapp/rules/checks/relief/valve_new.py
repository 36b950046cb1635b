"""The relief valve is new with the heater.

Why: an old valve may be stuck or scaled shut, and nobody can see it.
Fix: fit a new relief valve of the right ratings.
"""

from ...questions.relief import FITTED
from ...report import Result, fails, meets, not_applicable

CLAUSES = ("relief.new_valve",)
WHEN = FITTED


def check(relief_valve_new: bool, job_kind: str | None = None) -> Result:
    if relief_valve_new:
        return meets("New valve.", "new", "new")
    if job_kind == "existing":
        return not_applicable("The heater is not new either.")
    return fails("An old relief valve on a new heater.", "old", "new")
