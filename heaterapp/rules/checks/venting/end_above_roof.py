"""The vent ends high enough above the roof.

Why: wind rolling over roof and walls presses the gases back down a short vent.
Fix: extend the vent to the height given, and brace it.
"""

from decimal import Decimal

from ...questions.vent import ROOF
from ...report import Result, Worked, engineer, fails, meets
from ...units import HUNDREDTHS, Inch, eighths_up, tape_least
from ...when import is_

CLAUSES = ("venting.end_above_roof",)
WHEN = ROOF & is_("vent_kind", "type_b", "special_gas")


def check(vent_above_roof_in: Inch, vent_end_needed_in: Worked) -> Result:
    needed = vent_end_needed_in.value
    if not isinstance(needed, Decimal):
        return engineer(f"Not worked out: {vent_end_needed_in.says}.", fix="Have the vent's height above the roof designed.")
    found, asked = tape_least(vent_above_roof_in, needed, HUNDREDTHS)
    said = f"Ends {found} in above the roof, {asked} in asked."
    if vent_above_roof_in >= needed:
        return meets(said, vent_above_roof_in, needed, "in")
    return fails(
        said,
        vent_above_roof_in,
        needed,
        "in",
        fix=f"Extend the vent to {eighths_up(needed)} in or more above the roof.",
    )
