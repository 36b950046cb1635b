"""The relief valve can let out all the heat the heater can put in.

Why: a smaller valve opens, and the pressure still climbs.
Fix: fit a relief valve rated at the heater's input or above.
"""

from decimal import Decimal

from ...calc.electrical import heat_input
from ...questions.plate import ELECTRIC, FUEL, STORAGE
from ...questions.relief import FITTED
from ...report import Result, authority, fails, meets, unanswered
from ...units import BtuPerHour, Kilowatt, Volt, against_least

CLAUSES = ("relief.capacity",)
WHEN = FITTED & (FUEL | ELECTRIC | STORAGE)


def check(
    heater_kind: str,
    relief_capacity_btuh: BtuPerHour,
    input_btuh: BtuPerHour | None = None,
    input_kw: Kilowatt | None = None,
    volts: Volt | None = None,
    input_kw_at_volts: Volt | None = None,
    coil_input_btuh: BtuPerHour | None = None,
) -> Result:
    needed = input_btuh if input_btuh is not None else coil_input_btuh
    if heater_kind == "indirect" and needed is None:
        said = "An indirect tank is heated by its boiler: the maker's sheet says what the coil can put in, and so what the valve must let out."
        return authority(said, relief_capacity_btuh, "the coil's input", "Btu/h")
    if input_kw is not None:
        # An element takes more from a higher voltage than its plate's, as its breaker is reckoned too.
        at = volts / input_kw_at_volts if volts is not None and input_kw_at_volts is not None else Decimal(1)
        needed = heat_input(input_kw) * max(at * at, Decimal(1))
    if needed is None:
        open_now = "input_btuh" if FUEL.holds(lambda _: heater_kind) else "input_kw"
        return unanswered("To answer: the heater's input.", needs=(open_now,))
    valve, heater = against_least(relief_capacity_btuh, needed, 0)
    said = f"Relief valve {valve} Btu/h, heater {heater} Btu/h."
    return (meets if relief_capacity_btuh >= needed else fails)(said, relief_capacity_btuh, needed, "Btu/h")
