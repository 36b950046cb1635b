"""The expansion tank is listed for drinking water.

Why: tanks made for heating loops rust and taint the water.
Fix: fit an expansion tank listed for drinking water.
"""

from ...questions.water import TANK
from ...report import Result, fails, meets

CLAUSES = ("expansion.potable",)
WHEN = TANK


def check(potable_rated: bool) -> Result:
    if potable_rated:
        return meets("Listed for drinking water.", "listed", "listed")
    return fails("Not listed for drinking water.", "not listed", "listed")
