"""The heater carries a listing mark.

Why: an unlisted heater has not been tested by anyone who answers for it.
Fix: fit a heater listed by a recognised agency.
"""

from ...report import Result, fails, meets

CLAUSES = ("heater.listing",)


def check(listed_mark: bool) -> Result:
    if listed_mark:
        return meets("A listing mark stands on the plate.", "listed", "listed")
    return fails("No listing mark on the plate.", "not listed", "listed")
