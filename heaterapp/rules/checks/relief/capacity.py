"""The relief valve can let out all the heat the heater can put in.

Why: a smaller valve opens, and the pressure still climbs.
Fix: fit a relief valve rated at the heater's input or above.
"""

from ...calc.electrical import heat_input
from ...questions.plate import ELECTRIC, FUEL
from ...questions.relief import FITTED
from ...report import Result, fails, meets, side_by_side, unanswered
from ...units import BtuPerHour, Kilowatt

CLAUSES = ("relief.capacity",)
WHEN = FITTED & (FUEL | ELECTRIC)


def check(
    heater_kind: str,
    relief_capacity_btuh: BtuPerHour,
    input_btuh: BtuPerHour | None = None,
    input_kw: Kilowatt | None = None,
) -> Result:
    needed = heat_input(input_kw) if input_kw is not None else input_btuh
    if needed is None:
        open_now = "input_btuh" if FUEL.holds(lambda _: heater_kind) else "input_kw"
        return unanswered("To answer: the heater's input.", needs=(open_now,))
    valve, heater = side_by_side(relief_capacity_btuh, needed, 0)
    said = f"Relief valve {valve} Btu/h, heater {heater} Btu/h."
    return (meets if relief_capacity_btuh >= needed else fails)(said, relief_capacity_btuh, needed, "Btu/h")
