"""The vent carries the heater's input.

Why: a vent too small for its burner spills; one too large for a fan-assisted burner chills and drips.
Fix: change the vent's or connector's size, shorten the offset, or take out elbows, and size it again.
"""

from decimal import Decimal
from typing import Annotated

from ...catalog import Given
from ...questions.vent import CHIMNEYS, SIZED
from ...report import Result, Worked, engineer, fails, meets, not_applicable, unanswered
from ...units import HUNDREDTHS, BtuPerHour, Foot, Inch, Ratio, SquareInch, against_most, clear_of, plain
from . import NO_LEAST, open_to_cold, within_table

CLAUSES = ("vent_sizing.single", "vent_sizing.shared", "vent_sizing.area", "vent_sizing.chimney_area")
WHEN = SIZED


def check(
    input_btuh: BtuPerHour, draft_kind: str, vent_kind: str, vent_sizing_method: str, vent_shared: bool, draft_hood_outlet_in: Inch,
    vent_exposed_outdoors: bool | None = None, chimney_exterior: bool | None = None, vent_capacity_btuh: Worked | None = None,
    vent_least_input_btuh: Worked | None = None, rated_input_at_elevation_btuh: BtuPerHour | None = None,
    vent_area_ratio: Worked | None = None, vent_lateral_ft: Foot | None = None, vent_height_ft: Foot | None = None,
    vent_flue_area_in2: SquareInch | None = None, elevation_ft: Annotated[Foot, Given] | None = None,
    *, level_share: Ratio, least_ratio: Ratio, most_ratio: Ratio,
) -> Result:  # fmt: skip
    masonry = vent_kind in CHIMNEYS
    if vent_kind in ("single_wall", "special_gas"):
        return engineer("The tables are for Type B vents: this vent goes by its listing, or by a design.")
    if vent_exposed_outdoors:
        return engineer("The tables are not for a vent that runs outdoors below the roof: it needs a design.")
    if not masonry and vent_sizing_method == "tables":
        clause = "vent_sizing.shared" if vent_shared else "vent_sizing.single"
        least = NO_LEAST if draft_kind == "draft_hood" else vent_least_input_btuh
        return within_table(input_btuh, vent_capacity_btuh, rated_input_at_elevation_btuh, least, elevation_ft, clause=clause)
    if draft_kind != "draft_hood":
        return engineer("The area rule is for draft hoods alone: a fan-assisted heater needs tables of its own here.")
    if chimney_exterior:
        return engineer("A chimney with a side outdoors is not sized by its area alone: reline it, or have it designed.")
    if vent_shared and masonry:
        return not_applicable("Both connectors enter the chimney: the chimney itself is judged as a shared vent.")
    ratio = vent_area_ratio.value if vent_area_ratio else None
    if not isinstance(ratio, Decimal) or vent_lateral_ft is None or vent_height_ft is None:
        return unanswered("To answer: the vent's size, its height and its offset.")
    by_area = "vent_sizing.chimney_area" if masonry else "vent_sizing.area"
    level = level_share * vent_height_ft
    if vent_lateral_ft > level:
        run, longest = against_most(vent_lateral_ft, level)
        said = f"By the area rule {longest} ft of level run is the most; this has {run} ft."
        return fails(said, vent_lateral_ft, level, "ft", clause=by_area)
    limit = most_ratio if ratio > most_ratio else least_ratio
    times = clear_of(ratio, least_ratio, most_ratio, places=HUNDREDTHS, up=True)
    said = f"The area is {times} times the outlet's; {plain(least_ratio)} to {plain(most_ratio)} times is allowed."
    if not least_ratio <= ratio <= most_ratio:
        return fails(said, ratio, limit, "ratio", clause=by_area)
    open_side = open_to_cold(masonry, chimney_exterior, vent_exposed_outdoors)
    return open_side or meets(said, ratio, limit, "ratio", clause=by_area)
