"""The other appliance's connector carries its input.

Why: a connector too small for its burner spills there, whatever the heater does.
Fix: change the other connector's size or give it more rise, and size it again.
"""

from typing import Annotated

from ...catalog import Given
from ...questions.vent import SHARED_BY_TABLE
from ...report import Result, Worked, fails, unanswered
from ...units import BtuPerHour, Foot, Inch, Ratio, tape_least
from . import NO_LEAST, within_table

CLAUSES = ("vent_sizing.shared", "vent_sizing.shared_outlet")
WHEN = SHARED_BY_TABLE


def check(
    other_vent_input_btuh: BtuPerHour, other_vent_kind: str, other_connector_capacity_btuh: Worked, input_btuh: BtuPerHour,
    rated_input_at_elevation_btuh: BtuPerHour, other_least_input_btuh: Worked | None = None,
    elevation_ft: Annotated[Foot, Given] | None = None,
    other_connector_diameter_in: Inch | None = None, other_outlet_in: Inch | None = None,
    *, least_of_outlet: Ratio | None = None,
) -> Result:  # fmt: skip
    derated = other_vent_input_btuh * rated_input_at_elevation_btuh / input_btuh
    least = NO_LEAST if other_vent_kind == "draft_hood" else other_least_input_btuh
    share = least_of_outlet if other_vent_kind == "draft_hood" else None
    if share is not None and other_connector_diameter_in is not None and other_outlet_in is not None:
        asked = share * other_outlet_in
        if other_connector_diameter_in < asked:
            own, outlet = tape_least(other_connector_diameter_in, other_outlet_in)
            said = f"Its connector, {own} in, is smaller than its draft hood's outlet, {outlet} in."
            return fails(said, other_connector_diameter_in, asked, "in", clause="vent_sizing.shared_outlet")
    carried = within_table(other_vent_input_btuh, other_connector_capacity_btuh, derated, least, elevation_ft)
    if carried.verdict == "meets" and share is not None and other_outlet_in is None:
        return unanswered("To answer: the outlet of its draft hood.", needs=("other_outlet_in",))
    return carried
