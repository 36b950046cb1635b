"""A vent that another appliance left was sized again for what is left.

Why: a heater alone on a vent made for two cannot warm it; the gases cool, drip and spill.
Fix: line the flue or change the vent to a size that the remaining heater calls for.
"""

from decimal import Decimal

from ...questions.vent import SIZED
from ...report import Result, Worked, engineer, fails, meets, side_by_side
from ...units import BtuPerHour, Ratio, plain
from ...when import yes

CLAUSES = ("vent_sizing.resized",)
WHEN = SIZED & yes("appliance_left_vent")


def check(
    input_btuh: BtuPerHour, vent_area_ratio: Worked, vent_capacity_btuh: Worked | None = None, chimney_exterior: bool | None = None,
    *, most_ratio: Ratio,
) -> Result:  # fmt: skip
    ratio = vent_area_ratio.value
    assert isinstance(ratio, Decimal)
    area, most = side_by_side(ratio, most_ratio, 1)
    said = f"What is left on the vent has an outlet {area} times smaller than it; {most} times at most."
    if ratio > most_ratio:
        return fails(said, ratio, most_ratio, "ratio")
    if chimney_exterior:
        return engineer("A heater left alone on a chimney with a side outdoors needs a liner or a design.")
    if vent_capacity_btuh is not None and not isinstance(vent_capacity_btuh.value, Decimal):
        return engineer(f"{said} Its capacity is not in the tables: it needs a design.")
    if vent_capacity_btuh is not None and isinstance(vent_capacity_btuh.value, Decimal):
        carried = vent_capacity_btuh.value
        if input_btuh > carried:
            return fails(f"The heater left alone burns {plain(input_btuh)} Btu/h; the vent carries {plain(carried, 0)} Btu/h.", input_btuh, carried, "Btu/h")
    return meets(said, ratio, most_ratio, "ratio")
