"""Condensate runs to a place where it may go.

Why: a heater that condenses drips quarts a day; acid condensate eats metal drains and concrete.
Fix: pipe it, falling all the way, to a drain the authority accepts, through a neutralizer where the gas heater needs one.
"""

from ...questions import as_read
from ...report import Result, authority, fails, meets
from ...when import is_, yes
from . import clause_of

CLAUSES = ("place.condensate", "place.condensate_mechanical")
WHEN = yes("condensing") | is_("heater_kind", "heat_pump_storage")


def check(
    condensate_end: str,
    condensing: bool | None = None,
    condensate_neutralised: bool | None = None,
    heater_kind: str | None = None,
    *,
    allowed: tuple[str, ...],
    mechanical: bool = False,
) -> Result:
    ends = as_read("condensate_end", condensate_end)
    clause = clause_of("place.condensate", heater_kind, mechanical)
    if condensate_end not in allowed:
        return fails("The condensate goes nowhere.", ends, "a drain, a pump or outdoors", clause=clause)
    if condensing and condensate_neutralised is False:
        return authority(
            "Acid condensate without a neutralizer: plastic drains are often let off, metal drains and septic systems are not.",
            "not neutralized",
            "as the authority asks",
        )
    return meets(f"Condensate to: {ends}.", ends, "a drain, a pump or outdoors", clause=clause)
