"""A strap sits in the lower third of the tank.

Why: held at the top alone, the tank kicks out at its feet and snaps the gas line.
Fix: move or add a strap in the lower third of the tank's own height, clear of the controls.
"""

from ...calc.strap_forces import mass_height
from ...calc.strapping import edge_crosses, lower_third
from ...questions.plate import STORAGE
from ...questions.straps import STRAPS
from ...report import Result, Worked, authority, fails, meets
from ...units import Inch, Inches, eighths, tape_range
from ...when import is_

CLAUSES = ("seismic.placement",)
WHEN = STORAGE & STRAPS & ~is_("bracing_required", "no")


def check(
    tank_base_in: Inch,
    tank_height_in: Inch,
    strap_heights_in: Inches,
    lower_strap_band_in: Worked,
    strap_width_in: Inch | None = None,
) -> Result:
    band = lower_third(tank_base_in, tank_height_in)
    limit = tape_range(band.low_in, band.high_in)
    if not strap_heights_in:
        return fails("No strap height was given.", "no strap", limit, "in")
    low, both = strap_heights_in[0], lower_strap_band_in.value
    said = f"Lowest strap {eighths(low)} in from the floor; the lower third is {limit} in."
    if band.holds(low):
        note = (
            " Its edge reaches over the limit; the center decides."
            if strap_width_in and edge_crosses(band, low, strap_width_in)
            else ""
        )
        return meets(said + note, low, limit, "in")
    if both is None and low < mass_height(tank_base_in, tank_height_in):
        return authority(
            f"{said} On this tank {lower_strap_band_in.says}. Ask the authority which counts.",
            low,
            limit,
            "in",
        )
    where = tape_range(both[0], both[1]) if isinstance(both, tuple) else limit
    return fails(said, low, limit, "in", fix=f"Put a strap at {where} in from the floor.")
