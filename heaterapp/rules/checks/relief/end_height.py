"""The relief pipe ends at the right height.

Why: too high it splashes and scalds; too low it can freeze, flood back or be blocked.
Fix: cut a pipe that ends too low, extend one that ends too high.
"""

from decimal import Decimal

from ...questions.relief import FITTED
from ...report import Result, authority, fails, meets, silent, unanswered
from ...units import Inch, Ratio, tape_mark, tape_range, tape_shown
from ...when import is_

CLAUSES = ("relief.end_height",)
WHEN = FITTED & is_("relief_end", "outdoors", "floor", "pan", "receptor")

_OVER = {"outdoors": "the ground", "floor": "the floor"}


def check(
    relief_end: str, relief_end_height_in: Inch | None = None, relief_pipe_in: Inch | None = None, old_relief_end: str | None = None,
    *, least: Inch | None = None, least_diameters: Ratio | None = None, most: Inch, ruled: tuple[str, ...], outdoors_in_doubt: bool,
    ruled_where_none: tuple[str, ...] = (),
) -> Result:  # fmt: skip
    replaces_none = relief_end in ruled_where_none and old_relief_end == "none"
    if relief_end not in ruled and not replaces_none:
        return silent(
            "This book gives the height for an end outdoors; here the flood level of what receives it counts."
        )
    if relief_end_height_in is None:
        return unanswered("To answer: the height of the pipe's end.", needs=("relief_end_height_in",))
    low = least if least is not None else Decimal(0)
    if least_diameters is not None:
        if relief_pipe_in is None:
            return unanswered(
                "To answer: the relief pipe's size; the least height is counted in pipe diameters.",
                needs=("relief_pipe_in",),
            )
        low = least_diameters * relief_pipe_in
    limit, found = tape_range(low, most, relief_end_height_in), tape_mark(relief_end_height_in, low, most)
    over = _OVER.get(relief_end, "the rim")
    said = f"Ends {tape_shown(relief_end_height_in, low, most)} in above {over}; {limit} in is the range."
    fix = f"Cut the pipe until its end is {limit} in above {over}."
    if relief_end_height_in > most:
        fix = f"Extend the pipe until its end is {limit} in above {over}."
    if low <= relief_end_height_in <= most:
        return meets(said, found, limit, "in")
    if relief_end == "outdoors" and outdoors_in_doubt:
        said += " The range is written for a floor or rim; outdoors authorities differ."
        return authority(said, found, limit, "in", fix=fix)
    return fails(said, found, limit, "in", fix=fix)
