"""A heater in a flood hazard area stands above the flood level.

Why: flood water reaches burner, wiring and controls, and floats a tank off its pipes.
Fix: ask the building department for the design flood level and raise the heater above it.
"""

from ...report import Result, authority, not_applicable
from . import clause_of

CLAUSES = ("place.flood", "place.flood_mechanical")


def check(
    flood_hazard_area: bool | None = None, heater_kind: str | None = None, *, mechanical: bool = False
) -> Result:
    if flood_hazard_area:
        return authority(
            "In a flood hazard area: the authority sets the level it must stand above.",
            "flood hazard area",
            "above the design flood level",
            clause=clause_of("place.flood", heater_kind, mechanical),
        )
    return not_applicable(
        "Not said to be in a flood hazard area."
        if flood_hazard_area is None
        else "Not in a flood hazard area."
    )
