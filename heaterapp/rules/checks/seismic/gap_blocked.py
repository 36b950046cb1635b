"""No open gap lets the tank slam against the wall.

Why: straps only pull; across a gap the tank gathers speed before the wall stops it.
Fix: lag wood blocking to the wall behind the tank at each strap.
"""

from ...questions.plate import STORAGE
from ...questions.straps import STRAPS
from ...report import Result, advice, authority, meets, unanswered
from ...units import Inch, eighths, tape_most
from ...when import is_

CLAUSES = ("seismic.gap",)
WHEN = STORAGE & STRAPS & ~is_("bracing_required", "no")


def check(
    wall_gap_in: Inch | None = None, gap_blocked: bool | None = None, *, most: Inch, as_advice: bool
) -> Result:
    result = _judged(wall_gap_in, gap_blocked, most, as_advice)
    return result._replace(kind="advice") if as_advice else result


def _judged(gap: Inch | None, blocked: bool | None, most: Inch, as_advice: bool) -> Result:
    if blocked:
        return meets("Blocked at each strap.", "blocked", f"{eighths(most)} in, or blocked")
    if gap is None:
        return unanswered("To answer: the gap between tank and wall.", needs=("wall_gap_in",))
    found, open_to = tape_most(gap, most)
    said = f"Gap to the wall {found} in; up to {open_to} in may stay open."
    if gap <= most:
        return meets(said, gap, most, "in")
    if blocked is None:
        return unanswered("To answer: whether the gap is blocked at each strap.", needs=("gap_blocked",))
    if as_advice:
        return advice("fails", f"{said} Nothing stops the tank toward the wall.", gap, most, "in")
    return authority(f"{said} The state's guide and agency sheets ask for blocking.", gap, most, "in")
