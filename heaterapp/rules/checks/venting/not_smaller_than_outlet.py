"""Vent and connector are not smaller than the heater's outlet.

Why: a vent that is squeezed below the outlet spills its gases into the room.
Fix: fit vent and connector at least as large as the draft hood or flue outlet.
"""

from decimal import Decimal

from ...questions.vent import NATURAL, VENTED
from ...report import Result, Worked, authority, fails, meets, unanswered
from ...units import BtuPerHour, Foot, Inch, SquareInch, against_most, plain, tape_least
from . import NOT_SURE

CLAUSES = ("venting.outlet_size",)
WHEN = NATURAL & VENTED


def check(
    draft_hood_outlet_in: Inch, vent_area_ratio: Worked | None = None, vent_diameter_in: Inch | None = None, connector_diameter_in: Inch | None = None,
    common_vent_diameter_in: Inch | None = None,
    vent_flue_area_in2: SquareInch | None = None, vent_height_ft: Foot | None = None, vent_shared: bool | None = None,
    vent_capacity_btuh: Worked | None = None, input_btuh: BtuPerHour | None = None, draft_kind: str | None = None,
    *, sizes: tuple[Decimal, ...], reduced_from: Inch, reduced_to: Inch, reduced_height: Foot,
) -> Result:  # fmt: skip
    outlet = draft_hood_outlet_in
    if (
        vent_flue_area_in2 is not None
        and vent_area_ratio is not None
        and isinstance(vent_area_ratio.value, Decimal)
        and vent_area_ratio.value < 1
    ):
        return fails(
            f"The flue of {plain(vent_flue_area_in2)} sq in is smaller than the outlet.",
            vent_area_ratio.value,
            Decimal(1),
            "ratio",
        )
    pipes = [size for size in (vent_diameter_in, common_vent_diameter_in, connector_diameter_in) if size is not None]
    if not pipes and vent_flue_area_in2 is None:
        return unanswered("To answer: the vent's size.")
    smallest = min(pipes, default=outlet)
    found, least = tape_least(smallest, outlet)
    said = f"Smallest pipe {found} in, outlet {least} in."
    if smallest >= outlet:
        return meets(said, smallest, outlet, "in")
    below = [size for size in sizes if size < outlet]
    one_size = bool(below) and smallest >= max(below)
    tall = vent_height_ft is not None and vent_height_ft >= reduced_height
    if draft_kind == "fan_assisted" and not vent_shared and one_size and tall and outlet <= reduced_from:
        said += f" An outlet of {plain(reduced_from)} in or less may not be reduced; that a fan-assisted heater is exempt is known from memory only: read it in the adopted book."
        return authority(said, smallest, outlet, "in")
    if vent_shared or not (one_size and tall and reduced_from < outlet <= reduced_to):
        return fails(said, smallest, outlet, "in")
    capacity = vent_capacity_btuh.value if vent_capacity_btuh else None
    said += f" One size smaller is allowed from {plain(reduced_height)} ft of height where the tables carry the input"
    if not isinstance(capacity, Decimal):
        return authority(f"{said}: they were not read here.", smallest, outlet, "in")
    if input_btuh is None:
        return unanswered(f"{said}. To answer: the heater's input.", needs=("input_btuh",))
    burned, carried = against_most(input_btuh, capacity, 0)
    said += f": {burned} of {carried} Btu/h."
    doubt = vent_capacity_btuh.doubt if vent_capacity_btuh else Decimal(0)
    if doubt and abs(input_btuh - capacity) <= doubt:
        return authority(f"{said} {NOT_SURE}", smallest, outlet, "in")
    if input_btuh <= capacity:
        return meets(said, smallest, max(below), "in")
    return fails(said, smallest, outlet, "in")
