"""No gases spill at the draft hood while the burner fires.

Why: spilling gases carry carbon monoxide into the house.
Fix: stop: shut the heater off. Find why it spills (blocked or short vent, fans, no air), mend it, and test again.
"""

from ...questions.vent import HOOD
from ...report import Result, fails, meets, not_applicable
from ...units import Minute, plain

CLAUSES = ("venting.spillage",)
WHEN = HOOD
HAZARD = True
MUST_MEASURE = True


def check(spillage_after_5min: str, spillage_test_fans_on: bool | None = None, *, minutes: Minute) -> Result:
    if spillage_after_5min == "seen":
        return fails("Spillage was seen. Stop. Do not leave this heater running.", "seen", "none")
    if spillage_test_fans_on is False:
        return not_applicable("Tested with the exhaust fans off: it has to be tested again, and is judged by that.")
    if spillage_test_fans_on:
        return meets(f"No spillage after {plain(minutes)} minutes, with the exhaust fans running.", "none", "none")
    return meets(f"No spillage after {plain(minutes)} minutes.", "none", "none")
