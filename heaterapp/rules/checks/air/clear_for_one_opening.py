"""With one opening to outdoors the heater stands clear at its sides, its back and its front.

Why: the air from one opening must be able to go round the heater to its burner.
Fix: clear the space, or bring the air in by two openings.
"""

from ...questions.air import INDOOR_AIR, ONE_HIGH
from ...report import Result, fails, meets
from ...units import Inch, tape_least

CLAUSES = ("air.one_opening",)
WHEN = INDOOR_AIR & ONE_HIGH


def check(
    air_clear_sides_in: Inch, air_clear_front_in: Inch, *, clear_sides: Inch, clear_front: Inch
) -> Result:
    found, least = tape_least(air_clear_sides_in, clear_sides)
    sides = f"{found} in clear at sides and back; at least {least} in."
    if air_clear_sides_in < clear_sides:
        return fails(sides, air_clear_sides_in, clear_sides, "in")
    found, least = tape_least(air_clear_front_in, clear_front)
    front = f"{found} in clear in front; at least {least} in."
    answer = meets if air_clear_front_in >= clear_front else fails
    return answer(f"{sides} {front}", air_clear_front_in, clear_front, "in")
