"""No open gap lets the tank slam against the wall.

Why: straps only pull; with a gap behind it the tank gathers speed before the wall stops it.
Fix: lag wood blocking to the wall behind the tank at each strap.
"""

from ...questions.plate import STORAGE
from ...questions.straps import STRAPS
from ...report import Result, advice, authority, meets, unanswered
from ...units import Inch, eighths
from ...when import is_

CLAUSES = ("seismic.gap",)
WHEN = STORAGE & STRAPS & ~is_("bracing_required", "no")


def check(wall_gap_in: Inch, gap_blocked: bool | None = None, *, most: Inch, as_advice: bool) -> Result:
    said = f"Gap to the wall {eighths(wall_gap_in)} in"
    if wall_gap_in <= most:
        return meets(f"{said}, {eighths(most)} in or less.", wall_gap_in, most, "in")
    if gap_blocked is None:
        return unanswered("To answer: whether the gap is blocked at each strap.", needs=("gap_blocked",))
    if gap_blocked:
        return meets(f"{said}, blocked at each strap.", "blocked", "blocked")
    if as_advice:
        return advice(
            "fails", f"{said}, not blocked: nothing stops the tank toward the wall.", wall_gap_in, most, "in"
        )
    return authority(f"{said}, not blocked: the state's guide asks for blocking.", wall_gap_in, most, "in")
