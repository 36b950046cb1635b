"""A strap sits in the upper third of the tank.

Why: a strap lower down lets the top swing and tear the pipes off.
Fix: move the upper strap into the upper third of the tank's own height.
"""

from ...calc.strapping import edge_crosses, upper_third
from ...report import Result, Worked, authority, fails, meets, unanswered
from ...units import Inch, Inches, eighths, tape_range
from ...when import is_

CLAUSES = ("seismic.placement",)
WHEN = ~is_("bracing_required", "no")


def check(
    strap_heights_in: Inches, tank_base_in: Inch, tank_height_in: Inch, heater_kind: str,
    strap_width_in: Inch | None = None, heater_height_in: Inch | None = None, upper_strap_band_in: Worked | None = None,
) -> Result:  # fmt: skip
    band = upper_third(tank_base_in, tank_height_in)
    limit = tape_range(*band)
    at = upper_strap_band_in.value if upper_strap_band_in else None
    fix = f"Put a strap {tape_range(*at)} in from the floor, to its center." if isinstance(at, tuple) else ""
    if not strap_heights_in:
        return fails(
            f"No strap is there; the upper third is {limit} in from the floor.", "none", limit, "in", fix=fix
        )
    if heater_kind == "heat_pump_storage" and heater_height_in is None:
        return unanswered(
            "To answer: the height of the whole heat pump, whose thirds may decide.",
            needs=("heater_height_in",),
        )
    whole = (
        upper_third(tank_base_in, heater_height_in)
        if heater_kind == "heat_pump_storage" and heater_height_in
        else band
    )
    high = next((y for y in strap_heights_in if band.holds(y) and whole.holds(y)), strap_heights_in[-1])
    said = f"Upper strap {eighths(high)} in from the floor; the upper third is {limit} in."
    if band.holds(high) != whole.holds(high):
        return authority(
            f"{said} Of the whole heat pump it is {tape_range(*whole)} in: follow its maker.",
            high,
            limit,
            "in",
            fix=f"Follow the heat pump maker's sheet. {fix}".strip(),
        )
    if not band.holds(high):
        return fails(said, high, limit, "in", fix=fix)
    note = (
        " Its edge reaches over the limit; the center decides."
        if strap_width_in and edge_crosses(band, high, strap_width_in)
        else ""
    )
    return meets(said + note, high, limit, "in")
