"""The relief pipe ends at the right height.

Why: too high it splashes and scalds; too low it can freeze, flood back or be blocked.
Fix: cut or extend the pipe until its end is in the range.
"""

from ...questions.relief import FITTED
from ...report import Result, authority, fails, meets, silent
from ...units import Inch, Ratio, eighths
from ...when import is_

CLAUSES = ("relief.end_height",)
WHEN = FITTED & is_("relief_end", "outdoors", "floor", "pan", "receptor")


def check(
    relief_end: str, relief_end_height_in: Inch, relief_pipe_in: Inch,
    *, least: Inch | None = None, least_diameters: Ratio | None = None, most: Inch, ruled: tuple[str, ...], outdoors_in_doubt: bool,
) -> Result:  # fmt: skip
    if relief_end not in ruled:
        return silent(
            "This book gives the height for an end outdoors; here the flood level of what receives it counts."
        )
    low = least if least is not None else (least_diameters or 0) * relief_pipe_in
    said = (
        f"Ends {eighths(relief_end_height_in)} in above; {eighths(low)} to {eighths(most)} in is the range."
    )
    limit = f"{eighths(low)} to {eighths(most)}"
    if low <= relief_end_height_in <= most:
        return meets(said, relief_end_height_in, limit, "in")
    if relief_end == "outdoors" and outdoors_in_doubt:
        return authority(
            said + " The range is written for a floor or rim; outdoors authorities differ.",
            relief_end_height_in,
            limit,
            "in",
        )
    return fails(said, relief_end_height_in, limit, "in")
