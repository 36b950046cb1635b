"""A strap sits in the upper third of the tank.

Why: a strap lower down lets the top swing and tear the pipes off.
Fix: move the upper strap into the upper third of the tank's own height.
"""

from ...calc.strapping import edge_crosses, upper_third
from ...questions.plate import STORAGE
from ...questions.straps import STRAPS
from ...report import Result, authority, fails, meets
from ...units import Inch, Inches, eighths, tape_range
from ...when import is_

CLAUSES = ("seismic.placement",)
WHEN = STORAGE & STRAPS & ~is_("bracing_required", "no")


def check(
    heater_kind: str,
    tank_base_in: Inch,
    tank_height_in: Inch,
    strap_heights_in: Inches,
    strap_width_in: Inch | None = None,
    heater_height_in: Inch | None = None,
) -> Result:
    band = upper_third(tank_base_in, tank_height_in)
    limit = tape_range(band.low_in, band.high_in)
    if not strap_heights_in:
        return fails("No strap height was given.", "no strap", limit, "in")
    top = strap_heights_in[-1]
    said = f"Highest strap {eighths(top)} in from the floor; the upper third is {limit} in."
    whole = (
        upper_third(tank_base_in, heater_height_in)
        if heater_kind == "heat_pump_storage" and heater_height_in
        else band
    )
    if whole.holds(top) != band.holds(top):
        return authority(
            f"{said} By the whole appliance it is {tape_range(whole.low_in, whole.high_in)} in: follow the maker.",
            top,
            limit,
            "in",
        )
    if not band.holds(top):
        return fails(said, top, limit, "in", fix=f"Move the upper strap to {limit} in from the floor.")
    note = (
        " Its edge reaches over the limit; the center decides."
        if strap_width_in and edge_crosses(band, top, strap_width_in)
        else ""
    )
    return meets(said + note, top, limit, "in")
