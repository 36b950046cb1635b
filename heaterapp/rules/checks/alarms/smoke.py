"""Smoke alarms are in place where the work makes the adopted code ask for them.

Why: permit work is when missing alarms are found, and the final inspection waits for them.
Fix: fit listed smoke alarms in and outside the bedrooms and on each level.
"""

from ...report import Result, advice, fails, meets
from ...when import is_

CLAUSES = ("alarms.smoke",)
WHEN = is_("building_kind", "house", "duplex", "townhouse", "multifamily", "manufactured")


def check(smoke_alarms_ok: bool, *, on_replacement: str) -> Result:
    if smoke_alarms_ok:
        return meets("Smoke alarms are in place.", "in place", "in place")
    if on_replacement == "required":
        return fails("Smoke alarms are missing.", "missing", "in place")
    return advice(
        "fails",
        "Smoke alarms are missing. The code does not ask for them for this work; fit them all the same.",
        "missing",
        "in place",
    )
