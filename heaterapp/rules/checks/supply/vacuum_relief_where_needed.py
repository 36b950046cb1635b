"""A vacuum relief valve is fitted where the tank could be drained from below.

Why: a tank that empties backward collapses, or fires dry.
Fix: fit a listed vacuum relief valve on the cold pipe above the tank.
"""

from ...questions.plate import STORAGE
from ...report import Result, fails, meets, not_applicable, unanswered

CLAUSES = ("supply.vacuum_relief",)
WHEN = STORAGE


def check(
    tank_above_highest_outlet: bool,
    vacuum_relief_fitted: bool | None = None,
    bottom_fed: bool | None = None,
    *,
    bottom_fed_too: bool,
) -> Result:
    if not tank_above_highest_outlet and bottom_fed_too and bottom_fed is None:
        return unanswered("To answer: whether the tank is filled from its bottom.", needs=("bottom_fed",))
    if not tank_above_highest_outlet and not (bottom_fed_too and bottom_fed):
        return not_applicable("The tank cannot drain backward into lower taps.")
    if vacuum_relief_fitted is None:
        return unanswered(
            "To answer: whether a vacuum relief valve is fitted.", needs=("vacuum_relief_fitted",)
        )
    if vacuum_relief_fitted:
        return meets("Vacuum relief valve fitted.", "fitted", "fitted")
    return fails(
        "The tank stands above the taps it serves, or is filled from its bottom, and has no vacuum relief valve.",
        "none",
        "fitted",
    )
