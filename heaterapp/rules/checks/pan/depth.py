"""The pan is deep enough.

Why: a shallow pan spills before its drain takes the water.
Fix: fit a deeper pan.
"""

from ...questions.relief import PAN
from ...report import Result, fails, meets
from ...units import Inch, eighths

CLAUSES = ("pan.depth",)
WHEN = PAN


def check(pan_depth_in: Inch, *, least: Inch) -> Result:
    said = f"Pan {eighths(pan_depth_in)} in deep, {eighths(least)} in asked."
    return (meets if pan_depth_in >= least else fails)(said, pan_depth_in, least, "in")
