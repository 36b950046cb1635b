"""The heater stands as far from what can burn as its plate says.

Why: a hot jacket or flue closer than its listing allows can dry out and light wood in time.
Fix: move the heater or the material until the marked distance is kept.
"""

from ...questions.plate import FUEL
from ...report import Result, fails, meets
from ...units import Inch, tape_least

CLAUSES = ("place.heater_clearance",)
WHEN = FUEL


def check(heater_clearance_in: Inch, heater_marked_clearance_in: Inch) -> Result:
    found, least = tape_least(heater_clearance_in, heater_marked_clearance_in)
    said = f"Least clearance found {found} in, marked {least} in."
    answer = meets if heater_clearance_in >= heater_marked_clearance_in else fails
    return answer(said, heater_clearance_in, heater_marked_clearance_in, "in")
