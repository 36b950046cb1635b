"""A heater in a flood hazard area stands above the flood level.

Why: flood water reaches burner, wiring and controls, and floats a tank off its pipes.
Fix: ask the building department for the design flood level and raise the heater above it.
"""

from ...report import Result, authority, not_applicable

CLAUSES = ("place.flood",)


def check(flood_hazard_area: bool | None = None) -> Result:
    if flood_hazard_area:
        return authority(
            "In a flood hazard area: the authority sets the level it must stand above.",
            "flood hazard area",
            "above the design flood level",
        )
    return not_applicable(
        "Not said to be in a flood hazard area."
        if flood_hazard_area is None
        else "Not in a flood hazard area."
    )
