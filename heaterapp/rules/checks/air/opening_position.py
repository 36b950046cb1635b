"""The openings for air start close enough to the top and the bottom of the room.

Why: air comes in low and warm air leaves high; openings at one height move none.
Fix: move the opening to within the distance from the ceiling or the floor.
"""

from decimal import Decimal

from ...catalog import NotHere
from ...questions.air import INDOOR_AIR, ONE_HIGH, TWO
from ...report import Result, fails, meets
from ...units import Inch, tape_most

CLAUSES = ("air.position",)
WHEN = INDOOR_AIR & (TWO | ONE_HIGH)


def check(
    air_high_from_top_in: Inch,
    air_low_from_bottom_in: Inch | NotHere,
    *,
    within_top: Inch,
    within_bottom: Inch,
) -> Result:
    found, most = tape_most(air_high_from_top_in, within_top)
    high = f"The high opening starts {found} in below the top, {most} in at most."
    if air_high_from_top_in > within_top:
        return fails(high, air_high_from_top_in, within_top, "in")
    if not isinstance(air_low_from_bottom_in, Decimal):
        return meets(high, air_high_from_top_in, within_top, "in")
    found, most = tape_most(air_low_from_bottom_in, within_bottom)
    low = f"The low opening starts {found} in above the bottom, {most} in at most."
    if air_low_from_bottom_in > within_bottom:
        return fails(low, air_low_from_bottom_in, within_bottom, "in")
    both = ((air_high_from_top_in, within_top), (air_low_from_bottom_in, within_bottom))
    return meets(f"{high} {low}", *min(both, key=lambda one: one[1] - one[0]), "in")
