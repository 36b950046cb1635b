"""No gases spill at the draft hood after five minutes of firing.

Why: spilling gases carry carbon monoxide into the house.
Fix: stop: shut the heater off. Find why it spills (blocked or short vent, fans, no air), mend it, and test again.
"""

from ...questions.vent import HOOD
from ...report import Result, fails, meets, not_applicable

CLAUSES = ("venting.spillage",)
WHEN = HOOD
HAZARD = True
MUST_MEASURE = True


def check(spillage_after_5min: str, spillage_test_fans_on: bool | None = None) -> Result:
    if spillage_after_5min == "seen":
        return fails("Spillage was seen. Stop. Do not leave this heater running.", "seen", "none")
    if spillage_test_fans_on is False:
        return not_applicable("Tested with the exhaust fans off: it has to be tested again, and is judged by that.")
    if spillage_test_fans_on:
        return meets("No spillage after five minutes, with the exhaust fans running.", "none", "none")
    return meets("No spillage after five minutes.", "none", "none")
