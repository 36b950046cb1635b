"""The exhaust fans ran while spillage was tested.

Why: running fans pull air out of the house, and can turn a draft that is good without them.
Fix: close doors and windows, run the dryer and every exhaust fan, fire the heater, and test again.
"""

from ...questions.vent import HOOD
from ...report import Result, fails, not_applicable, unanswered

CLAUSES = ("venting.spillage_fans",)
WHEN = HOOD


def check(spillage_test_fans_on: bool | None = None, spillage_after_5min: str | None = None) -> Result:
    if spillage_after_5min == "seen":
        return not_applicable("Spillage was seen, and is judged by itself.")
    if spillage_test_fans_on is None or spillage_after_5min is None:
        needs = ("spillage_after_5min", "spillage_test_fans_on")
        return unanswered("To answer: whether the exhaust fans ran during the test.", needs=needs, kind="advice")
    if spillage_test_fans_on:
        return not_applicable("The exhaust fans ran: the spillage test itself says the rest.", kind="advice")
    return fails("The exhaust fans were off: the test proves nothing.", "no", "yes")
