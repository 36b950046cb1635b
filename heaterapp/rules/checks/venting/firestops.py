"""Firestops close the gap around the vent at each floor and ceiling.

Why: an open gap carries a fire from one storey to the next, and lets insulation fall against the hot pipe.
Fix: fit the vent maker's firestop or support plate at each floor and ceiling, and keep the clearance marked on the pipe.
"""

from ...questions.vent import CHIMNEY, ROOF
from ...report import Result, fails, meets, unanswered
from ...when import said

CLAUSES = ("venting.firestops",)
WHEN = ROOF & ~CHIMNEY & ~said("room", "outdoors")


def check(vent_firestops: bool | None = None) -> Result:
    if vent_firestops is None:
        return unanswered("To answer: firestops around the vent.", needs=("vent_firestops",), kind="advice")
    if vent_firestops:
        return meets("Firestops at each floor and ceiling.", "in place", "in place")
    return fails("No firestop where the vent passes a floor or ceiling.", "missing", "in place")
