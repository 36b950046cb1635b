"""A heater outdoors is listed for outdoors.

Why: rain, wind and frost put out burners, wet controls and split valves not made for them.
Fix: fit a heater listed for outdoors, or enclose it as the maker and the authority accept.
"""

from ...report import Result, authority, meets
from ...when import is_
from . import clause_of

CLAUSES = ("place.outdoor_listing", "place.outdoor_listing_mechanical")
WHEN = is_("room", "outdoors")


def check(listed_for_outdoors: bool, heater_kind: str | None = None, *, mechanical: bool = False) -> Result:
    clause = clause_of("place.outdoor_listing", heater_kind, mechanical)
    if listed_for_outdoors:
        return meets("Listed for outdoors.", "listed", "listed", clause=clause)
    return authority(
        "Outdoors, and not listed for it: accepted only if protected as the place requires.",
        "not listed",
        "listed or protected",
        clause=clause,
    )
