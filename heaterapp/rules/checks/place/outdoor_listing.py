"""A heater outdoors is listed for outdoors.

Why: rain, wind and frost put out burners, wet controls and split valves not made for them.
Fix: fit a heater listed for outdoors, or enclose it as the maker and the authority accept.
"""

from ...report import Result, authority, meets
from ...when import is_

CLAUSES = ("place.outdoor_listing",)
WHEN = is_("room", "outdoors")


def check(listed_for_outdoors: bool) -> Result:
    if listed_for_outdoors:
        return meets("Listed for outdoors.", "listed", "listed")
    return authority(
        "Outdoors, and not listed for it: accepted only if protected as the place requires.",
        "not listed",
        "listed or protected",
    )
