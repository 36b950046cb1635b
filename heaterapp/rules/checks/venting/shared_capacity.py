"""The shared vent carries both inputs together.

Why: a shared vent too small for its burners spills from the weaker one.
Fix: enlarge the common vent, take elbows out of it, or give the heater a vent of its own.
"""

from decimal import Decimal

from ...calc.venting import circle_area, shared_area_needed
from ...catalog import NotHere
from ...questions.vent import CHIMNEYS, SHARED, SIZED
from ...report import Result, Worked, authority, engineer, fails, meets, unanswered
from ...units import BtuPerHour, Inch, Ratio, SquareInch, against_least, against_most, tape_least
from . import NOT_SURE, open_to_cold

CLAUSES = ("vent_sizing.shared", "vent_sizing.area", "vent_sizing.chimney_area")
WHEN = SIZED & SHARED
_OTHER = "Fit the other appliance a connector at least as large as its outlet."


def check(
    input_btuh: BtuPerHour, other_vent_input_btuh: BtuPerHour, draft_kind: str, other_vent_kind: str, vent_kind: str,
    vent_sizing_method: str, draft_hood_outlet_in: Inch, other_outlet_in: Inch, common_vent_diameter_in: Inch | NotHere,
    common_vent_capacity_btuh: Worked | NotHere,
    vent_flue_area_in2: SquareInch | None = None, chimney_exterior: bool | None = None, vent_exposed_outdoors: bool | None = None,
    connector_diameter_in: Inch | None = None, other_connector_diameter_in: Inch | None = None,
    *, share_of_smaller: Ratio, most_ratio: Ratio, least_ratio: Ratio,
) -> Result:  # fmt: skip
    common = common_vent_diameter_in if isinstance(common_vent_diameter_in, Decimal) else None
    carried = common_vent_capacity_btuh if isinstance(common_vent_capacity_btuh, Worked) else None
    together = input_btuh + other_vent_input_btuh
    masonry = vent_kind in CHIMNEYS
    if vent_kind in ("single_wall", "special_gas") or vent_exposed_outdoors or chimney_exterior:
        return engineer("The tables are for Type B vents inside the house: this one needs a design.")
    if masonry or vent_sizing_method == "area":
        if "fan_assisted" in (draft_kind, other_vent_kind):
            return engineer("The area rule is for draft hoods alone: with a fan it needs tables of its own.")
        area = vent_flue_area_in2 if masonry else common and circle_area(common)
        if area is None:
            return unanswered("To answer: the size of the shared vent.")
        needed = shared_area_needed(draft_hood_outlet_in, other_outlet_in, share_of_smaller)
        most = most_ratio * circle_area(min(draft_hood_outlet_in, other_outlet_in))
        low, high = against_least(area, needed, 1), against_most(area, most, 1)
        said = f"Area {max(low[0], high[0], key=len)} sq in; {low[1]} to {high[1]} sq in for these two outlets."
        bound = most if area > most else needed
        by_area = "vent_sizing.chimney_area" if masonry else "vent_sizing.area"
        if not needed <= area <= most:
            return fails(said, area, bound, "in2", clause=by_area)
        if other_connector_diameter_in is None:
            return unanswered("To answer: the other appliance's connector.", needs=("other_connector_diameter_in",))
        least = least_ratio * circle_area(other_outlet_in)
        if circle_area(other_connector_diameter_in) < least:
            own, outlet = tape_least(other_connector_diameter_in, other_outlet_in)
            said = f"The other appliance's connector, {own} in, is smaller than its outlet, {outlet} in."
            return fails(said, circle_area(other_connector_diameter_in), least, "in2", clause=by_area, fix=_OTHER)
        open_side = open_to_cold(masonry, chimney_exterior, vent_exposed_outdoors)
        return open_side or meets(said, area, bound, "in2", clause=by_area)
    widest = max((one for one in (connector_diameter_in, other_connector_diameter_in) if one is not None), default=None)
    if widest is not None and common is not None and common < widest:
        own, wide = tape_least(common, widest)
        said = f"The common vent, {own} in, is smaller than a connector, {wide} in."
        return fails(said, common, widest, "in")
    most_btuh = carried.value if carried else None
    if carried is None or not isinstance(most_btuh, Decimal):
        says = carried.says if carried else ""
        return engineer(f"{says[:1].upper()}{says[1:]}: it needs a design.") if says else unanswered("To answer: the shared vent.")
    found, limit = against_most(together, most_btuh, 0)
    said = f"Both burn {found} Btu/h; the common vent carries {limit} Btu/h at most."
    if carried.doubt and abs(together - most_btuh) <= carried.doubt:
        return authority(f"{said} {NOT_SURE}", together, most_btuh, "Btu/h")
    if together > most_btuh:
        return fails(f"{said} {carried.says}".strip(), together, most_btuh, "Btu/h")
    return meets(said, together, most_btuh, "Btu/h")
