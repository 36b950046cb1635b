"""A strap sits in the upper third of the tank.

Why: a strap lower down lets the top swing and tear the pipes off.
Fix: move the upper strap into the upper third of the tank's own height.
"""

from decimal import Decimal

from ...calc.strapping import Band, edge_crosses, upper_third
from ...report import Result, Worked, authority, fails, meets, unanswered
from ...units import Inch, Inches, tape_mark, tape_range, tape_shown
from ...when import is_
from . import put_a_strap

CLAUSES = ("seismic.placement",)
WHEN = ~is_("bracing_required", "no")


def check(
    strap_heights_in: Inches, tank_base_in: Inch, tank_height_in: Inch, heater_kind: str,
    strap_width_in: Inch | None = None, heater_height_in: Inch | None = None, upper_strap_band_in: Worked | None = None,
) -> Result:  # fmt: skip
    band = upper_third(tank_base_in, tank_height_in)
    fix = put_a_strap(upper_strap_band_in, Decimal(0), strap_heights_in[-1] if strap_heights_in else None)
    if not strap_heights_in:
        limit = tape_range(*band)
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
    # of a heat pump the text may mean the jacket or the whole: what it asks is where both readings hold
    both = Band(max(band.low_in, whole.low_in), min(band.high_in, whole.high_in))
    both = both if both.low_in <= both.high_in else band
    limit, found = tape_range(*both, high), tape_mark(high, *band, *whole)
    said = f"Upper strap {tape_shown(high, *band, *whole)} in from the floor; the upper third is {tape_range(*band, high)} in."
    if band.holds(high) != whole.holds(high):
        return authority(
            f"{said} Of the whole heat pump it is {tape_range(*whole, high)} in: follow its maker.",
            found,
            limit,
            "in",
            fix=f"Follow the heat pump maker's sheet. {fix}".strip(),
        )
    if both != band:
        said += f" Of the whole heat pump it is {tape_range(*whole, high)} in; {limit} in is in both."
    if not band.holds(high):
        return fails(said, found, limit, "in", fix=fix)
    note = (
        " Its edge reaches over the limit; the center decides."
        if strap_width_in and edge_crosses(band, high, strap_width_in)
        else ""
    )
    return meets(said + note, found, limit, "in")
