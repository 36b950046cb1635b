"""Vent and connector are not smaller than the heater's outlet.

Why: a vent that is squeezed below the outlet spills its gases into the room.
Fix: fit vent and connector at least as large as the draft hood or flue outlet.
"""

from decimal import Decimal

from ...questions.vent import NATURAL, VENTED
from ...report import Result, Worked, authority, fails, meets
from ...units import Foot, Inch, SquareInch, eighths, plain

CLAUSES = ("venting.outlet_size",)
WHEN = NATURAL & VENTED


def check(
    draft_hood_outlet_in: Inch, vent_area_ratio: Worked, vent_diameter_in: Inch | None = None, connector_diameter_in: Inch | None = None,
    vent_flue_area_in2: SquareInch | None = None, vent_height_ft: Foot | None = None, vent_shared: bool | None = None,
    *, sizes: tuple[Decimal, ...], reduced_from: Inch, reduced_to: Inch, reduced_height: Foot,
) -> Result:  # fmt: skip
    outlet = draft_hood_outlet_in
    if (
        vent_flue_area_in2 is not None
        and isinstance(vent_area_ratio.value, Decimal)
        and vent_area_ratio.value < 1
    ):
        return fails(
            f"The flue of {plain(vent_flue_area_in2)} in2 is smaller than the outlet.",
            vent_area_ratio.value,
            Decimal(1),
            "ratio",
        )
    pipes = [size for size in (vent_diameter_in, connector_diameter_in) if size is not None]
    if not pipes and vent_flue_area_in2 is None:
        return Result("unanswered", "To answer: the vent's size.")
    smallest = min(pipes, default=outlet)
    said = f"Smallest pipe {eighths(smallest)} in, outlet {eighths(outlet)} in."
    if smallest >= outlet:
        return meets(said, smallest, outlet, "in")
    below = [size for size in sizes if size < outlet]
    one_size = bool(below) and smallest >= max(below)
    tall = vent_height_ft is not None and vent_height_ft >= reduced_height
    if one_size and tall and not vent_shared and reduced_from < outlet <= reduced_to:
        return authority(
            said + " One size smaller is allowed at this height only where the tables show the capacity.",
            smallest,
            outlet,
            "in",
        )
    return fails(said, smallest, outlet, "in")
