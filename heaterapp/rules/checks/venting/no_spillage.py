"""No gases spill at the draft hood after five minutes of firing.

Why: spilling gases carry carbon monoxide into the house.
Fix: stop: shut the heater off. Find why it spills (blocked or short vent, fans, no air), mend it, and test again.
"""

from ...questions.vent import CATEGORY_I
from ...report import Result, fails, meets, not_applicable, unanswered

CLAUSES = ("venting.spillage",)
WHEN = CATEGORY_I
HAZARD = True
MUST_MEASURE = True


def check(draft_kind: str, spillage_after_5min: str | None = None) -> Result:
    if spillage_after_5min is None:
        if draft_kind == "draft_hood":
            return unanswered("To answer: spillage at the draft hood.", needs=("spillage_after_5min",))
        return not_applicable("A fan-assisted heater has no draft hood to test at; spillage that is seen counts.")
    if spillage_after_5min == "seen":
        return fails("Spillage was seen. Stop. Do not leave this heater running.", "seen", "none")
    return meets("No spillage after five minutes.", "none", "none")
