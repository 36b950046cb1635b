"""The outdoor intake is high enough above the ground.

Why: snow, leaves and soil shut a low intake.
Fix: raise the intake's lower edge.
"""

from decimal import Decimal

from ...catalog import NotHere
from ...questions.air import INDOOR_AIR, TO_OUTDOORS
from ...report import Result, fails, meets, not_applicable
from ...units import Inch, tape_least

CLAUSES = ("air.intake",)
WHEN = INDOOR_AIR & TO_OUTDOORS


def check(air_intake_above_ground_in: Inch | NotHere, *, above_ground: Inch) -> Result:
    if not isinstance(air_intake_above_ground_in, Decimal):
        return not_applicable("No intake opens at an outside wall.")
    found, least = tape_least(air_intake_above_ground_in, above_ground)
    said = f"Intake {found} in above the ground; at least {least} in."
    answer = meets if air_intake_above_ground_in >= above_ground else fails
    return answer(said, air_intake_above_ground_in, above_ground, "in")
