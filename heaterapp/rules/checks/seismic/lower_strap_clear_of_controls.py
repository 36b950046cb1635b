"""The lower strap is clear of the controls.

Why: a strap at the gas valve or thermostat breaks it when the tank moves, and hides it before.
Fix: move the lower strap away from the controls.
"""

from decimal import Decimal

from ...report import Result, Worked, authority, fails, meets, not_applicable
from ...units import HUNDREDTHS, Inch, Inches, tape_least, tape_range
from ...when import is_
from . import OR_ACCEPTED, conflict_above, room_below

CLAUSES = ("seismic.controls",)
WHEN = ~is_("bracing_required", "no")


def check(
    strap_controls_clearance_in: Worked, strap_heights_in: Inches, strap_width_in: Inch, controls_top_in: Inch,
    tank_base_in: Inch, tank_height_in: Inch, lower_strap_band_in: Worked, *, clearance: Inch,
) -> Result:  # fmt: skip
    free = strap_controls_clearance_in.value
    if not isinstance(free, Decimal):
        return not_applicable(strap_controls_clearance_in.says)
    found, asked = tape_least(free, clearance, HUNDREDTHS)
    said = f"{found} in between lower strap and controls, edge to edge; {asked} in asked."
    if free < 0:
        said = f"The lower strap is not clear of the controls; {asked} in asked, edge to edge. {strap_controls_clearance_in.says}"
    if free >= clearance:
        return meets(said, free, clearance, "in")
    at = lower_strap_band_in.value
    both = conflict_above(tank_base_in, tank_height_in, strap_width_in, controls_top_in, clearance, *strap_heights_in[:1])
    if not room_below(lower_strap_band_in, tank_base_in, strap_width_in):
        fix = "Ask the authority which rule counts; usual is to keep clear of the controls, as low as that allows."
        return authority(f"{said} {both}", free, clearance, "in", fix=fix)
    assert isinstance(at, tuple)
    fix = f"Move the lower strap to {tape_range(*at)} in from the floor, to its center. {OR_ACCEPTED if both else ''}".strip()
    return fails(f"{said} {both}".strip(), free, clearance, "in", fix=fix)
