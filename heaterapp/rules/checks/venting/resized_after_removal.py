"""A vent that another appliance left was sized again for what is left.

Why: a heater alone on a vent made for two cannot warm it; the gases cool, drip and spill.
Fix: line the flue or change the vent to a size that the remaining heater calls for.
"""

from decimal import Decimal
from typing import Annotated

from ...catalog import Given
from ...questions.vent import CHIMNEYS, SIZED
from ...report import Result, Worked, engineer, fails, meets
from ...units import HUNDREDTHS, BtuPerHour, Foot, Ratio, against_most
from ...when import yes
from . import NO_LEAST, open_to_cold, within_table

CLAUSES = ("vent_sizing.resized",)
WHEN = SIZED & yes("appliance_left_vent")


def check(
    input_btuh: BtuPerHour, draft_kind: str, vent_kind: str, vent_sizing_method: str, vent_area_ratio: Worked,
    vent_capacity_btuh: Worked | None = None, vent_least_input_btuh: Worked | None = None,
    rated_input_at_elevation_btuh: BtuPerHour | None = None, vent_exposed_outdoors: bool | None = None,
    chimney_exterior: bool | None = None, elevation_ft: Annotated[Foot, Given] | None = None,
    *, most_ratio: Ratio,
) -> Result:  # fmt: skip
    ratio = vent_area_ratio.value
    assert isinstance(ratio, Decimal)
    area, most = against_most(ratio, most_ratio, HUNDREDTHS)
    said = f"What is left on the vent has an outlet {area} times smaller than it; {most} times at most."
    if ratio > most_ratio:
        return fails(said, ratio, most_ratio, "ratio")
    if chimney_exterior:
        return engineer("A heater left alone on a chimney with a side outdoors needs a liner or a design.")
    if vent_exposed_outdoors or vent_kind in ("single_wall", "special_gas"):
        return engineer("The tables are for Type B vents inside the house: what is left on this one needs a design.")
    masonry = vent_kind in CHIMNEYS
    if not masonry and vent_sizing_method == "tables":
        least = NO_LEAST if draft_kind == "draft_hood" else vent_least_input_btuh
        carried = within_table(input_btuh, vent_capacity_btuh, rated_input_at_elevation_btuh, least, elevation_ft)
        if carried.verdict != "meets":
            return carried
    elif draft_kind != "draft_hood":
        return engineer("The area rule is for draft hoods alone: a fan-assisted heater left alone here needs tables of its own.")
    return open_to_cold(masonry, chimney_exterior, vent_exposed_outdoors) or meets(said, ratio, most_ratio, "ratio")
