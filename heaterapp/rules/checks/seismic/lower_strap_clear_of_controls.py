"""The lower strap is clear of the controls.

Why: a strap over the gas valve or thermostat breaks it when the tank moves, and hides it before.
Fix: move the lower strap until its edge is the distance from the controls.
"""

from decimal import Decimal

from ...questions.plate import STORAGE
from ...questions.straps import STRAPS
from ...report import Result, Worked, authority, fails, meets, unanswered
from ...units import Inch, Inches, eighths, tape_range
from ...when import is_

CLAUSES = ("seismic.controls",)
WHEN = STORAGE & STRAPS & ~is_("bracing_required", "no")


def check(
    strap_controls_clearance_in: Worked,
    strap_heights_in: Inches,
    lower_strap_band_in: Worked,
    *,
    clearance: Inch,
) -> Result:
    free = strap_controls_clearance_in.value
    if not isinstance(free, Decimal) or not strap_heights_in:
        return unanswered(f"To answer: {strap_controls_clearance_in.says}.", needs=("strap_heights_in",))
    said = f"{eighths(free)} in from the controls, edge to edge; {eighths(clearance)} in asked."
    if free < 0:
        said = f"The strap lies over the controls; {eighths(clearance)} in asked."
    if free >= clearance:
        return meets(said, free, clearance, "in")
    both = lower_strap_band_in.value
    if both is None:
        return authority(
            f"{said} On this tank {lower_strap_band_in.says}. Ask the authority which counts.",
            free,
            clearance,
            "in",
        )
    where = (
        f" At {tape_range(both[0], both[1])} in from the floor it is in the lower third too."
        if isinstance(both, tuple)
        else ""
    )
    return fails(
        said,
        free,
        clearance,
        "in",
        fix=f"Move the lower strap until it is {eighths(clearance)} in from the controls.{where}",
    )
