"""No flue gas was seen to spill at the fan-assisted heater.

Why: flue gas in the room carries carbon monoxide.
Fix: stop the heater, air the room, find out why the vent does not draw, and test again.
"""

from ...questions.vent import CATEGORY_I
from ...report import Result, fails, meets, not_applicable
from ...units import Minute, plain
from ...when import is_

CLAUSES = ("venting.spillage",)
WHEN = CATEGORY_I & is_("draft_kind", "fan_assisted")
HAZARD = True


def check(spillage_after_5min: str | None = None, *, minutes: Minute) -> Result:
    if spillage_after_5min is None:
        return not_applicable("It has no draft hood to test at; what is seen counts.")
    if spillage_after_5min == "seen":
        return fails("Spillage was seen. Stop. Do not leave this heater running.", "seen", "none")
    return meets(f"No spillage after {plain(minutes)} minutes.", "none", "none")
