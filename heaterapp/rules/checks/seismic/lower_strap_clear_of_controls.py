"""The lower strap is clear of the controls.

Why: a strap at the gas valve or thermostat breaks it when the tank moves, and hides it before.
Fix: move the lower strap away from the controls.
"""

from decimal import Decimal

from ...calc.strapping import controls_clearance, lower_third
from ...report import Result, Worked, authority, fails, meets, not_applicable
from ...units import HUNDREDTHS, Inch, Inches, eighths, tape_least, tape_range
from ...when import is_
from . import OR_ACCEPTED, conflict_above, room_below

CLAUSES = ("seismic.controls",)
WHEN = ~is_("bracing_required", "no")


def _where(edge: Decimal, top: Decimal, bottom: Decimal | None) -> str:
    """Where a strap is that is not above the controls, by its upper edge."""
    if bottom is not None and edge <= bottom:
        return "below the controls"
    return "below the top of the controls" if bottom is None and edge <= top else "over the controls"


def check(
    strap_controls_clearance_in: Worked, strap_heights_in: Inches, strap_width_in: Inch, controls_top_in: Inch,
    tank_base_in: Inch, tank_height_in: Inch, lower_strap_band_in: Worked, controls_bottom_in: Inch | None = None,
    *, clearance: Inch, above_only: bool | None = None,
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
    third = lower_third(tank_base_in, tank_height_in)
    clear = {
        y: controls_clearance(y, strap_width_in, controls_top_in, controls_bottom_in, above_only=bool(above_only)).inches
        for y in [y for y in strap_heights_in if third.holds(y)] or strap_heights_in[:1]
    }
    near = [y for y in clear if clear[y] < clearance]
    worst = min(near, key=clear.__getitem__)
    edge = worst + worst - controls_clearance(worst, strap_width_in, Decimal(0), above_only=True).inches
    shown: tuple[Decimal | str, Decimal | str, str] = (free, clearance, "in")
    if free < 0:
        shown = (_where(edge, controls_top_in, controls_bottom_in), f"{asked} in", "")
    at = lower_strap_band_in.value
    both = conflict_above(tank_base_in, tank_height_in, strap_width_in, controls_top_in, clearance, *strap_heights_in[:1])
    if not room_below(lower_strap_band_in, tank_base_in, strap_width_in):
        fix = "Ask the authority which rule counts; usual is to keep clear of the controls, as low as that allows."
        return authority(f"{said} {both}", *shown, fix=fix)
    assert isinstance(at, tuple)
    placed = next((y for y in strap_heights_in if at[0] <= y <= at[1]), None)
    if placed is not None:
        where = ", ".join(eighths(y) for y in near)
        fix = f"Move the strap that sits at {where} in clear of the controls; the one at {eighths(placed)} in is in its place."
        if len(near) > 1:
            fix = f"Move the straps that sit at {where} in clear of the controls; the one at {eighths(placed)} in is in its place."
        return fails(f"{said} {both}".strip(), *shown, fix=fix)
    fix = f"Move the lower strap to {tape_range(*at)} in from the floor, to its center. {OR_ACCEPTED if both else ''}".strip()
    return fails(f"{said} {both}".strip(), *shown, fix=fix)
