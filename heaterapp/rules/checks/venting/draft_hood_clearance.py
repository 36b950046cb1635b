"""The draft hood's opening is clear on all sides.

Why: a hood that is crowded cannot spill or draw as it must, and scorches what is near it.
Fix: clear the space around the hood. No shield may reduce it.
"""

from ...questions.vent import HOOD
from ...report import Result, fails, meets
from ...units import Inch, tape_least

CLAUSES = ("venting.draft_hood_clearance",)
WHEN = HOOD


def check(draft_hood_clearance_in: Inch, *, least: Inch) -> Result:
    found, asked = tape_least(draft_hood_clearance_in, least)
    said = f"Clear space at the hood {found} in, {asked} in asked."
    return (meets if draft_hood_clearance_in >= least else fails)(said, draft_hood_clearance_in, least, "in")
