"""The relief valve's lever lifts and seats again, where it was tried.

Why: a valve that sticks open floods, one that sticks shut bursts.
Fix: replace the relief valve.
"""

from ...questions.relief import FITTED
from ...report import Result, fails, meets, not_applicable

CLAUSES = ("relief.lever",)
WHEN = FITTED


def check(relief_lever_tested: str | None = None) -> Result:
    if relief_lever_tested is None:
        return not_applicable("The lever was not tried.")
    if relief_lever_tested == "passed":
        return meets("Lifted and seated again.", "passed", "passed")
    return fails("The lever test failed.", "failed", "passed")
