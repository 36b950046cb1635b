"""The pan's drain is large enough.

Why: a narrow drain clogs with the first rust flake.
Fix: run a larger drain from the pan.
"""

from ...questions.relief import PAN_DRAIN
from ...report import Result, fails, meets
from ...units import Inch, eighths

CLAUSES = ("pan.drain",)
WHEN = PAN_DRAIN


def check(pan_drain_in: Inch, *, least: Inch) -> Result:
    said = f"Pan drain {eighths(pan_drain_in)} in, {eighths(least)} in asked."
    return (meets if pan_drain_in >= least else fails)(said, pan_drain_in, least, "in")
