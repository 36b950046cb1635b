"""There is room to work in front of the heater.

Why: whoever services it must reach burner, valves and controls without taking the wall apart.
Fix: clear the space in front of the controls.
"""

from ...report import Result, authority, fails, meets, silent, unanswered
from ...units import Inch, Inches, eighths, tape_shown
from . import clause_of

CLAUSES = ("place.work_space", "place.work_space_mechanical")


def check(
    room: str,
    work_space_in: Inches | None = None,
    job_kind: str | None = None,
    heater_kind: str | None = None,
    *,
    width: Inch,
    depth: Inch,
    rooms: tuple[str, ...] | None = None,
    mechanical: bool = False,
) -> Result:
    if rooms is not None and room not in rooms:
        return silent("This book asks it in attics and under floors; elsewhere the maker's instructions say.")
    if work_space_in is None:
        return unanswered("To answer: the work space in front.", needs=("work_space_in",))
    clause = clause_of("place.work_space", heater_kind, mechanical)
    wide, deep = work_space_in
    found = f"{tape_shown(wide, width)} x {tape_shown(deep, depth)}"
    limit = f"{eighths(width)} x {eighths(depth)}"
    said = f"Work space {found} in, {limit} in asked."
    if wide >= width and deep >= depth:
        return meets(said, found, limit, "in", clause=clause)
    if job_kind == "same_place":
        return authority(said + " The place is as it was: ask the authority.", found, limit, "in", clause=clause)
    return fails(said, found, limit, "in", clause=clause)
