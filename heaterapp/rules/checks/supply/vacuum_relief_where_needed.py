"""A vacuum relief valve is fitted where the tank could be drained from below.

Why: a tank that empties backward collapses, or fires dry.
Fix: fit a listed vacuum relief valve on the cold pipe above the tank.
"""

from ...questions.plate import STORAGE
from ...report import Result, authority, fails, meets, not_applicable, unanswered

CLAUSES = ("supply.vacuum_relief",)
WHEN = STORAGE


def check(
    heater_kind: str, tank_above_highest_outlet: bool, vacuum_relief_fitted: bool | None = None, bottom_fed: bool | None = None,
    *, bottom_fed_too: bool, above_outlets_too: bool, heaters_named: tuple[str, ...],
) -> Result:  # fmt: skip
    above = tank_above_highest_outlet and above_outlets_too
    if not above and bottom_fed_too and bottom_fed is None:
        return unanswered("To answer: whether the tank is filled from its bottom.", needs=("bottom_fed",))
    if not above and not (bottom_fed_too and bottom_fed):
        if tank_above_highest_outlet:
            return not_applicable("This book asks it of tanks that are filled from their bottom; this one is not.")
        return not_applicable("The tank cannot drain backward into lower taps.")
    if vacuum_relief_fitted is None:
        return unanswered(
            "To answer: whether a vacuum relief valve is fitted.", needs=("vacuum_relief_fitted",)
        )
    if vacuum_relief_fitted:
        return meets("Vacuum relief valve fitted.", "fitted", "fitted")
    stands = "stands above the taps it serves" if above else "is filled from its bottom"
    said = f"The tank {stands} and has no vacuum relief valve."
    if heater_kind not in heaters_named:
        said += " The text speaks of hot water tanks and indirect heaters; its publisher reads a water heater into it. Ask before it is closed up."
        return authority(said, "none", "fitted")
    return fails(said, "none", "fitted")
