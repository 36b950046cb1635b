"""A heater in a manufactured home is listed for one.

Why: small sealed rooms and tie-down floors need heaters made for them.
Fix: fit a heater listed for manufactured homes.
"""

from ...questions.plate import FUEL
from ...report import Result, authority, fails, meets
from ...when import is_

CLAUSES = ("heater.manufactured_home",)
WHEN = is_("building_kind", "manufactured")


def check(heater_kind: str, listed_for_manufactured_home: bool) -> Result:
    if listed_for_manufactured_home:
        return meets("Listed for manufactured homes.", "listed", "listed")
    if FUEL.holds(lambda _: heater_kind):
        return fails("A fuel-fired heater that is not listed for manufactured homes.", "not listed", "listed")
    return authority(
        "Not listed for manufactured homes; for an electric heater ask the authority.", "not listed", "listed"
    )
