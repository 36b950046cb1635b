"""Corrugated stainless gas tubing is bonded to the electrical ground.

Why: a stroke of lightning nearby can burn a hole through thin tubing that is not bonded.
Fix: have a licensed electrician bond it with a wire of the size the book names, or show a listing that needs none.
"""

from ...questions.gas import CSST
from ...report import Result, fails, meets
from ...units import Awg, plain

CLAUSES = ("gas.csst_bonding",)
WHEN = CSST


def check(csst_bonded: bool, csst_arc_resistant: bool, *, bond_awg: Awg, arc_resistant_exempt: bool) -> Result:
    if csst_arc_resistant and arc_resistant_exempt:
        return meets("Arc-resistant tubing is bonded as its listing says.", "arc-resistant", "bonded, or arc-resistant")
    limit = f"bonded, {plain(bond_awg)} AWG copper or thicker"
    if csst_bonded:
        return meets("The corrugated tubing is bonded.", "bonded", limit)
    return fails("The corrugated tubing is not bonded.", "not bonded", limit)
