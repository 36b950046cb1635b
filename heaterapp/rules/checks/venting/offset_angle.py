"""The vent's offsets are no flatter than the code allows.

Why: gases rise by their heat; a flat run cools and slows them, and they spill at the hood.
Fix: change the elbows so that the vent goes up more steeply, or run it straight up from the heater.
"""

from ...questions.vent import LINER
from ...report import Result, fails, meets, not_applicable, unanswered
from ...units import Degree, clear_of, plain
from ...when import answered, some

CLAUSES = ("venting.offset",)
WHEN = LINER & answered("vent_lateral_ft") & some("vent_lateral_ft")


def check(
    vent_offset_from_vertical_deg: Degree | None = None, vent_sizing_method: str | None = None,
    *, usual: Degree, most: Degree, any_sizing: bool,
) -> Result:  # fmt: skip
    if vent_sizing_method == "tables" and not any_sizing:
        return not_applicable("This book asks it of a vent sized by area; the tables count elbows and level runs.")
    found = vent_offset_from_vertical_deg
    if found is None:
        return unanswered("To answer: the vent's flattest offset.", needs=("vent_offset_from_vertical_deg",), kind="advice")
    shown = clear_of(found, usual, most)
    if found > most:
        said = f"An offset {shown} degrees from the vertical; {plain(most)} is the most, and that once only."
        return fails(said, found, most, "deg")
    if found > usual:
        said = f"An offset {shown} degrees from the vertical: allowed once, and every other {plain(usual)} at most."
        return meets(said, found, most, "deg")
    said = f"No offset is flatter than {shown} degrees from the vertical; {plain(usual)} is allowed."
    return meets(said, found, usual, "deg")
