"""The heater can be disconnected within sight, or at a breaker that locks open.

Why: whoever opens the heater must be able to see, or lock, that the power stays off.
Fix: fit a switch in sight of the heater, or a breaker lock that stays in place.
"""

from ...questions import as_read
from ...questions.plate import ELECTRIC
from ...report import Result, fails, meets
from ...units import Foot, plain

CLAUSES = ("electric.disconnect",)
WHEN = ELECTRIC


def check(disconnect: str, *, allowed: tuple[str, ...], in_sight: Foot) -> Result:
    words = {
        "in_sight": "A disconnect in sight.",
        "lockable_breaker": "A breaker that locks open.",
        "cord_and_plug": "A cord and plug.",
    }
    if disconnect in allowed:
        return meets(
            words.get(disconnect, disconnect), as_read("disconnect", disconnect), "in sight, lockable, or a plug"
        )
    fix = f"Fit a switch in sight of the heater, {plain(in_sight)} ft from it at most, or a breaker lock that stays in place."
    found = as_read("disconnect", disconnect)
    return fails("No disconnect was found.", found, "in sight, lockable, or a plug", fix=fix)
