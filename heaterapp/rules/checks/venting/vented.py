"""The burner is vented.

Why: an unvented heater fills the house with carbon monoxide.
Fix: stop: shut the gas off, tag the heater, and do not leave it running until a vent of its kind is fitted.
"""

from ...questions.plate import FUEL
from ...report import Result, fails, meets
from . import in_a_list

CLAUSES = ("venting.vent_kinds",)
WHEN = FUEL
HAZARD = True


def check(vent_kind: str, room: str | None = None, listed_for_outdoors: bool | None = None) -> Result:
    if vent_kind == "none" and room == "outdoors" and listed_for_outdoors:
        said = "Made for outdoors: it vents through its own case. Keep that outlet as far from doors, windows and air inlets as its maker asks."
        return meets(said, "its own case", "a vent")
    if vent_kind == "none":
        return fails("No vent. Stop. Do not leave this heater running.", "no vent", "a vent")
    return meets("Vented.", in_a_list(vent_kind), "a vent")
