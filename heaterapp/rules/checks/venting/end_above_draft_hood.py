"""The vent ends far enough above the draft hood.

Why: the draft that carries the gases out is made by height.
Fix: extend the vent until its end is the height given above the highest draft hood or flue collar.
"""

from ...questions.vent import NATURAL, ROOF
from ...report import Result, fails, meets, unanswered
from ...units import Foot, against_least

CLAUSES = ("venting.end_above_hood",)
WHEN = NATURAL & ROOF


def check(
    vent_shared: bool,
    vent_height_ft: Foot | None = None,
    vent_above_draft_hood_ft: Foot | None = None,
    *,
    least: Foot,
) -> Result:
    height = vent_above_draft_hood_ft if vent_shared else vent_height_ft
    if height is None:
        return unanswered(
            "To answer: the vent's end above the highest draft hood.",
            needs=("vent_above_draft_hood_ft" if vent_shared else "vent_height_ft",),
        )
    found, asked = against_least(height, least)
    said = f"Ends {found} ft above the draft hood, {asked} ft asked."
    return (meets if height >= least else fails)(said, height, least, "ft")
