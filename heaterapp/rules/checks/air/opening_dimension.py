"""No opening or duct for air is narrower than the least dimension.

Why: a slit clogs with lint and passes little of the air its area promises.
Fix: make the opening or duct at least that wide and that high.
"""

from ...questions.air import INDOOR_AIR, ONE_HIGH, TWO
from ...report import Result, fails, meets
from ...units import Inch, tape_least

CLAUSES = ("air.dimension",)
WHEN = INDOOR_AIR & (TWO | ONE_HIGH)


def check(air_opening_least_dimension_in: Inch, *, least: Inch) -> Result:
    found, asked = tape_least(air_opening_least_dimension_in, least)
    said = f"Least dimension {found} in; at least {asked} in."
    answer = meets if air_opening_least_dimension_in >= least else fails
    return answer(said, air_opening_least_dimension_in, least, "in")
