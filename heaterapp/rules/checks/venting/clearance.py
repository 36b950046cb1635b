"""The vent keeps its marked distance from what can burn.

Why: a vent nearer than its listing allows dries the wood beside it until it can catch fire.
Fix: move the vent or cut back the framing to the marked distance, and hold it there with listed spacers.
"""

from ...questions.vent import VENTED
from ...report import Result, fails, meets
from ...units import Inch, tape_least
from ...when import is_

CLAUSES = ("venting.vent_clearance",)
WHEN = VENTED & is_("vent_kind", "type_b", "special_gas")


def check(vent_clearance_in: Inch, vent_marked_clearance_in: Inch) -> Result:
    found, least = tape_least(vent_clearance_in, vent_marked_clearance_in)
    said = f"Vent to what can burn: {found} in, marked {least} in."
    answer = meets if vent_clearance_in >= vent_marked_clearance_in else fails
    return answer(said, vent_clearance_in, vent_marked_clearance_in, "in")
