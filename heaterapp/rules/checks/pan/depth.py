"""The pan is deep enough.

Why: a shallow pan spills before its drain takes the water.
Fix: fit a deeper pan.
"""

from ...questions.relief import PAN
from ...report import Result, fails, meets, not_applicable
from ...units import Inch, tape_least
from . import NO_PAN_ASKED, asked_for

CLAUSES = ("pan.depth", "pan.fitted")
WHEN = PAN


def check(
    pan_depth_in: Inch, heater_kind: str | None = None, leak_would_damage: bool | None = None,
    *, least: Inch, heaters: tuple[str, ...], always: bool = False,
) -> Result:  # fmt: skip
    if not asked_for(heater_kind, leak_would_damage, heaters, always):
        return not_applicable(NO_PAN_ASKED)
    found, asked = tape_least(pan_depth_in, least)
    said = f"Pan {found} in deep, {asked} in asked."
    return (meets if pan_depth_in >= least else fails)(said, pan_depth_in, least, "in")
