"""Single-wall pipe runs only where it is allowed, and no connector passes where none may.

Why: single-wall pipe leaks heat into hidden wood, and chills the gases in the cold until they spill.
Fix: change the pipe to Type B where it passes an attic, crawl space, wall, floor or cold room.
"""

from ...questions import as_read
from ...questions.vent import CONNECTOR, NATURAL, VENTED
from ...report import Result, authority, fails, meets, unanswered
from ...units import DegF, against_least
from ...when import is_

CLAUSES = ("venting.single_wall",)
WHEN = NATURAL & VENTED & (CONNECTOR | is_("vent_kind", "single_wall"))


def check(
    vent_kind: str, building_kind: str | None = None, connector_kind: str | None = None, connector_space: str | None = None,
    connector_passes_through: str | None = None, design_winter_temperature_f: DegF | None = None,
    *, barred_passages: tuple[str, ...], single_wall_passages: tuple[str, ...], barred_spaces: tuple[str, ...],
    cold_spaces: tuple[str, ...], coldest: DegF, vent_barred_in_dwellings: bool | None = None,
) -> Result:  # fmt: skip
    if vent_kind == "single_wall":
        if vent_barred_in_dwellings and building_kind is None:
            return unanswered("To answer: the kind of building.", needs=("building_kind",))
        if vent_barred_in_dwellings and building_kind != "business":
            return fails(
                "Single-wall pipe may not be the vent of a dwelling.",
                "single-wall vent",
                "Type B or a chimney",
            )
        return authority(
            "Single-wall pipe as a vent: only straight from the heater's room through roof or wall.",
            "single-wall vent",
            "Type B or a chimney",
        )
    if connector_kind is None or connector_space is None or connector_passes_through is None:
        return unanswered("To answer: the connector's kind, where it runs and what it passes through.")
    through = as_read("connector_passes_through", connector_passes_through)
    space = as_read("connector_space", connector_space)
    if connector_passes_through in barred_passages:
        return fails(f"A connector may not pass through: {through}.", through, "none of them")
    if connector_kind != "single_wall":
        return meets(f"Type B connector, in: {space}.", space, "Type B")
    if connector_passes_through in single_wall_passages:
        return fails(f"A single-wall connector may not pass through: {through}.", through, "Type B")
    if connector_passes_through == "outside_wall":
        return authority(
            "Through an outside wall that can burn it needs a ventilated thimble.",
            through,
            "a thimble, or Type B",
        )
    if connector_space in barred_spaces:
        return fails(f"A single-wall connector may not run in: {space}.", space, "Type B")
    if connector_space not in cold_spaces:
        return meets(
            f"Single-wall connector in: {space}.", space, "not in an attic, crawl space or cold place"
        )
    if design_winter_temperature_f is None:
        return unanswered(
            "To answer: the local 99 % winter temperature.", needs=("design_winter_temperature_f",)
        )
    found, asked = against_least(design_winter_temperature_f, coldest)
    said = f"Single-wall connector in an unheated place; 99 % winter temperature {found} F, {asked} F or warmer asked."
    return (meets if design_winter_temperature_f >= coldest else fails)(
        said, design_winter_temperature_f, coldest, "degF"
    )
