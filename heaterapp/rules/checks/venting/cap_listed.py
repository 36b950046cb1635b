"""The vent ends in a listed cap.

Why: wind and rain down an open pipe push the gases back and rot the vent.
Fix: fit the cap listed for this vent pipe.
"""

from ...questions.vent import ROOF
from ...report import Result, fails, meets
from ...when import is_

CLAUSES = ("venting.cap",)
WHEN = ROOF & is_("vent_kind", "type_b", "special_gas")


def check(vent_cap_listed: bool) -> Result:
    if vent_cap_listed:
        return meets("Listed cap.", "listed cap", "listed cap")
    return fails("No listed cap.", "no listed cap", "listed cap")
