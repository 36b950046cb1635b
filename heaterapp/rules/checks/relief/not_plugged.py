"""The relief valve's outlet is open to the air.

Why: a capped or plugged relief valve cannot open, and the tank can burst.
Fix: stop: shut the heater off, take the cap or plug out, and run the pipe to where it may end.
"""

from ...questions.relief import FITTED
from ...report import Result, fails, meets

CLAUSES = ("relief.pipe_run",)
WHEN = FITTED
HAZARD = True


def check(relief_end: str) -> Result:
    if relief_end == "capped":
        return fails(
            "The relief valve's outlet is capped or plugged. Stop. Do not leave this heater running.",
            "capped",
            "open",
        )
    return meets("Not capped or plugged.", "open", "open")
