"""The vent ends clear of any forced-air inlet.

Why: a fan that draws air in nearby draws the gases in with it.
Fix: raise the vent's end above the inlet, or move one of them.
"""

from ...questions.vent import VENTED
from ...report import Result, fails, meets, unanswered
from ...units import Foot, Inch, clear_of, plain, tape_least

CLAUSES = ("venting.forced_inlet",)
WHEN = VENTED


def check(
    forced_inlet_distance_ft: Foot,
    vent_above_forced_inlet_in: Inch | None = None,
    *,
    within: Foot,
    above: Inch,
) -> Result:
    if forced_inlet_distance_ft > within:
        return meets(
            f"Nearest forced-air inlet {clear_of(forced_inlet_distance_ft, within)} ft away, more than {plain(within)} ft.",
            forced_inlet_distance_ft,
            within,
            "ft",
        )
    if vent_above_forced_inlet_in is None:
        return unanswered(
            "To answer: the vent's end above that inlet.", needs=("vent_above_forced_inlet_in",)
        )
    found, asked = tape_least(vent_above_forced_inlet_in, above)
    said = f"A forced-air inlet {clear_of(forced_inlet_distance_ft, within)} ft away; the vent ends {found} in above it, {asked} in asked."
    return (meets if vent_above_forced_inlet_in >= above else fails)(
        said, vent_above_forced_inlet_in, above, "in"
    )
