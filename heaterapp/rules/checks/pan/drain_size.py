"""The pan's drain is large enough.

Why: a narrow drain clogs with the first rust flake.
Fix: run a larger drain from the pan.
"""

from ...questions.relief import PAN_DRAIN
from ...report import Result, fails, meets, not_applicable
from ...units import Inch, tape_least
from . import NO_PAN_ASKED, asked_for

CLAUSES = ("pan.drain", "pan.fitted")
WHEN = PAN_DRAIN


def check(
    pan_drain_in: Inch, heater_kind: str | None = None, leak_would_damage: bool | None = None,
    *, least: Inch, heaters: tuple[str, ...], always: bool = False,
) -> Result:  # fmt: skip
    if not asked_for(heater_kind, leak_would_damage, heaters, always):
        return not_applicable(NO_PAN_ASKED)
    found, asked = tape_least(pan_drain_in, least)
    said = f"Pan drain {found} in, {asked} in asked."
    return (meets if pan_drain_in >= least else fails)(said, pan_drain_in, least, "in")
