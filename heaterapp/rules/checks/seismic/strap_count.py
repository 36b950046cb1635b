"""There are as many straps as the tank's size asks for.

Why: a larger tank throws more weight on each strap.
Fix: add a strap: one low, one high, and on a large tank one at mid-height.
"""

from ...calc.strapping import lower_third, upper_third
from ...report import Result, authority, fails, meets
from ...units import Count, Gallon, Inch, Inches, plain
from ...when import is_

CLAUSES = ("seismic.placement", "seismic.guide")
WHEN = ~is_("bracing_required", "no")


def check(
    strap_heights_in: Inches, storage_gal: Gallon, tank_base_in: Inch | None = None, tank_height_in: Inch | None = None,
    *, least: Count, usual_to: Gallon | None = None, larger: Count | None = None,
) -> Result:  # fmt: skip
    count = len(strap_heights_in)
    counted = f"{count} strap{'' if count == 1 else 's'}"
    if count < least:
        return fails(
            f"{counted}; {plain(least)} at least are asked, one low and one high.", str(count), plain(least)
        )
    if usual_to is None or larger is None or storage_gal <= usual_to:
        return meets(f"{counted}; {plain(least)} at least are asked.", str(count), plain(least))
    said = f"{counted}; over {plain(usual_to)} gal the state's guide asks for {plain(larger)}, one of them at mid-height."
    if count < larger:
        return authority(said, str(count), plain(larger), clause="seismic.guide")
    if tank_base_in is not None and tank_height_in is not None:
        thirds = lower_third(tank_base_in, tank_height_in), upper_third(tank_base_in, tank_height_in)
        if all(any(third.holds(y) for third in thirds) for y in strap_heights_in):
            return authority(
                f"{said} None is between the thirds.", str(count), plain(larger), clause="seismic.guide"
            )
    return meets(said, str(count), plain(larger), clause="seismic.guide")
