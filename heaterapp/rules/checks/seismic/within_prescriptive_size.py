"""The tank and its wall are within what the place's strap details cover.

Why: the details were worked out for ordinary tanks near a wall; others need their own.
Fix: ask the building department for approval before installing, with a design for this heater.
"""

from ...questions.plate import STORAGE
from ...questions.straps import STRAPS
from ...report import Result, authority, engineer, meets
from ...units import Gallon, Inch, against_most, tape_most
from ...when import is_

CLAUSES = ("seismic.guide",)
WHEN = STORAGE & STRAPS & ~is_("bracing_required", "no")


def check(
    storage_gal: Gallon, strap_kind: str, wall_gap_in: Inch | None = None, *, largest_to: Gallon, reach: Inch
) -> Result:
    gallons, most = against_most(storage_gal, largest_to)
    said = f"{gallons} gal; the state's details cover up to {most} gal"
    if storage_gal > largest_to:
        return authority(f"{said}: approval before installing.", storage_gal, largest_to, "gal")
    if wall_gap_in is not None and wall_gap_in > reach and strap_kind != "listed_kit":
        gap, within = tape_most(wall_gap_in, reach)
        return engineer(
            f"{said}, and a wall within {within} in; it is {gap} in away.",
            wall_gap_in,
            reach,
            "in",
        )
    return meets(f"{said}.", storage_gal, largest_to, "gal")
