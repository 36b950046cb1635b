"""The other appliance's connector carries its input.

Why: a connector too small for its burner spills there, whatever the heater does.
Fix: change the other connector's size or give it more rise, and size it again.
"""

from typing import Annotated

from ...catalog import Given
from ...questions.vent import SHARED_BY_TABLE
from ...report import Result, Worked
from ...units import BtuPerHour, Foot
from . import NO_LEAST, within_table

CLAUSES = ("vent_sizing.shared",)
WHEN = SHARED_BY_TABLE


def check(
    other_vent_input_btuh: BtuPerHour, other_vent_kind: str, other_connector_capacity_btuh: Worked, input_btuh: BtuPerHour,
    rated_input_at_elevation_btuh: BtuPerHour, other_least_input_btuh: Worked | None = None,
    elevation_ft: Annotated[Foot, Given] | None = None,
) -> Result:  # fmt: skip
    derated = other_vent_input_btuh * rated_input_at_elevation_btuh / input_btuh
    least = NO_LEAST if other_vent_kind == "draft_hood" else other_least_input_btuh
    return within_table(other_vent_input_btuh, other_connector_capacity_btuh, derated, least, elevation_ft)
