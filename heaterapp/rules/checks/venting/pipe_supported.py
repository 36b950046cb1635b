"""Vent and connector are held up.

Why: a pipe that hangs on its joints sags, opens and loses its slope and clearance.
Fix: strap or bracket the pipe so that its weight is off the joints and the clearances stay.
"""

from ...questions.vent import VENTED
from ...report import Result, fails, meets

CLAUSES = ("venting.supported",)
WHEN = VENTED


def check(vent_supported: bool) -> Result:
    if vent_supported:
        return meets("Supported.", "supported", "supported")
    return fails("Not supported.", "not supported", "supported")
