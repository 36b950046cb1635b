"""No hand damper stands in the vent.

Why: a damper left shut sends all the gases into the room.
Fix: take the damper out, or replace it with a listed automatic one wired to the burner.
"""

from ...questions.vent import NATURAL
from ...report import Result, fails, meets

CLAUSES = ("venting.no_damper",)
WHEN = NATURAL


def check(manual_damper: bool) -> Result:
    if manual_damper:
        return fails("A hand damper is in the vent.", "damper", "no damper")
    return meets("No hand damper.", "no damper", "no damper")
