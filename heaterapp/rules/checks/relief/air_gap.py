"""An air gap stands between the relief pipe and any drain.

Why: without it sewage can be drawn back toward drinking water.
Fix: cut the pipe back so that it ends above the receptor's rim.
"""

from ...report import Result, fails, meets
from ...when import is_, yes

CLAUSES = ("relief.air_gap",)
WHEN = yes("relief_fitted") & is_("relief_end", "receptor")


def check(relief_air_gap: bool) -> Result:
    if relief_air_gap:
        return meets("An air gap before the drain.", "air gap", "air gap")
    return fails("No air gap before the drain.", "none", "air gap")
