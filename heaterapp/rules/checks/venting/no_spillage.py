"""No gases spill at the draft hood after five minutes of firing.

Why: spilling gases carry carbon monoxide into the house.
Fix: stop: shut the heater off. Find why it spills (blocked or short vent, fans, no air), mend it, and test again.
"""

from ...questions.vent import HOOD
from ...report import Result, fails, meets

CLAUSES = ("venting.spillage",)
WHEN = HOOD
HAZARD = True
MUST_MEASURE = True


def check(spillage_after_5min: str) -> Result:
    if spillage_after_5min == "seen":
        return fails("Spillage was seen. Stop. Do not leave this heater running.", "seen", "none")
    return meets("No spillage after five minutes.", "none", "none")
