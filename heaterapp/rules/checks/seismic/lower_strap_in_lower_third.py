"""A strap sits in the lower third of the tank.

Why: held at the top alone, the tank kicks out at its feet and snaps the gas line.
Fix: put a strap in the lower third of the tank's own height, clear of the controls.
"""

from ...calc.strap_forces import mass_height
from ...calc.strapping import edge_crosses, lower_third
from ...report import Result, Worked, authority, fails, meets, unanswered
from ...units import Inch, Inches, tape_mark, tape_range, tape_shown
from ...when import is_
from . import OR_ACCEPTED, conflict_above, put_a_strap, room_below

CLAUSES = ("seismic.placement", "seismic.controls")
WHEN = ~is_("bracing_required", "no")


def check(
    strap_heights_in: Inches, tank_base_in: Inch, tank_height_in: Inch, heater_kind: str,
    strap_width_in: Inch | None = None, controls_top_in: Inch | None = None, heater_height_in: Inch | None = None,
    lower_strap_band_in: Worked | None = None, *, clearance: Inch | None = None,
) -> Result:  # fmt: skip
    band = lower_third(tank_base_in, tank_height_in)
    low = next((y for y in strap_heights_in if band.holds(y)), strap_heights_in[0] if strap_heights_in else None)
    limit = tape_range(*band, *(() if low is None else (low,)))
    fix = put_a_strap(lower_strap_band_in, strap_width_in, low, band)
    if low is None:
        return fails(
            f"No strap is there; the lower third is {limit} in from the floor.", "none", limit, "in", fix=fix
        )
    found = tape_mark(low, *band)
    at = tape_shown(low, *band)
    if band.holds(low):
        note = (
            " Its edge reaches over the limit; the center decides."
            if strap_width_in and edge_crosses(band, low, strap_width_in)
            else ""
        )
        return meets(
            f"Lower strap {at} in from the floor; the lower third is {limit} in.{note}",
            found,
            limit,
            "in",
        )
    said = f"Lowest strap {at} in from the floor; the lower third is {limit} in."
    if heater_kind == "heat_pump_storage" and low <= mass_height(tank_base_in, tank_height_in):
        if heater_height_in is None:
            return unanswered(
                "To answer: the height of the whole heat pump, whose thirds may decide.",
                needs=("heater_height_in",),
            )
        whole = lower_third(tank_base_in, heater_height_in)
        if whole.holds(low):
            return authority(
                f"{said} Of the whole heat pump it is {tape_range(*whole, low)} in: follow its maker.",
                found,
                limit,
                "in",
                fix="Follow the heat pump maker's sheet, and show it to the authority.",
            )
    both = conflict_above(tank_base_in, tank_height_in, strap_width_in, controls_top_in, clearance, low)
    below = room_below(lower_strap_band_in, tank_base_in, strap_width_in)
    if both and not below and low <= mass_height(tank_base_in, tank_height_in):
        return authority(
            f"{said} {both}",
            found,
            limit,
            "in",
            fix="Ask the authority which rule counts; usual is to keep clear of the controls, as low as that allows.",
        )
    fix = f"{fix} {OR_ACCEPTED}" if both and below else fix
    return fails(f"{said} {both}".strip(), found, limit, "in", fix=fix)
