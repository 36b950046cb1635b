"""Of two connectors into one vent the smaller enters higher.

Why: the larger stream below draws the smaller one up; the other way round it pushes it back into the room.
Fix: change the two inlets over, so that the smaller connector comes in above.
"""

from ...questions.vent import SHARED, SIZED
from ...report import Result, fails, meets
from ...units import Inch, tape_least
from ...when import yes

CLAUSES = ("vent_sizing.smaller_above",)
WHEN = SIZED & SHARED & ~yes("connectors_manifolded")


def check(
    connector_diameter_in: Inch, other_connector_diameter_in: Inch, heater_connector_enters_above: bool
) -> Result:
    own, other = tape_least(connector_diameter_in, other_connector_diameter_in)
    above = "the heater's above" if heater_connector_enters_above else "the other's above"
    if connector_diameter_in == other_connector_diameter_in:
        return meets(f"Both connectors are {own} in.", "equal", "the smaller above")
    right = (connector_diameter_in < other_connector_diameter_in) == heater_connector_enters_above
    answer = meets if right else fails
    return answer(f"The heater's connector is {own} in, the other's {other} in.", above, "the smaller above")
