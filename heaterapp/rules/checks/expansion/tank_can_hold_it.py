"""As it is set now, the tank can hold the expanded water.

Why: a tank whose bladder is against its shell takes nothing more, and the pressure jumps.
Fix: set the tank's air to the house pressure with the water off; if it still cannot, fit a larger tank.
"""

from decimal import Decimal

from ...questions.plate import STORAGE
from ...questions.water import TANK
from ...report import Result, Worked, authority, fails, meets
from ...units import HUNDREDTHS, Gallon, Psi, against_most, plain_down

CLAUSES = ("expansion.peak",)
WHEN = STORAGE & TANK
_BY_ITS_AIR = "With the water off set the gauge as worked out for its air temperature; if it still cannot, fit a larger tank."


def check(
    acceptance_used_gal: Worked, expansion_tank_gal: Gallon, expansion_acceptance_gal: Gallon | None = None,
    house_pressure_psi: Psi | None = None, drew_water_before_reading: bool | None = None,
    precharge_installed_psi: Psi | None = None,
) -> Result:  # fmt: skip
    fix = _BY_ITS_AIR if precharge_installed_psi is not None else ""
    used = acceptance_used_gal.value
    holds = expansion_acceptance_gal if expansion_acceptance_gal is not None else expansion_tank_gal
    room = "of its whole size" if expansion_acceptance_gal is None else "that its label says it takes"
    if isinstance(used, Decimal):
        water, takes = against_most(used, holds)
        said = f"When hot {water} gal of water is in it, of the {takes} gal {room}."
        return meets(said, used, holds, "gal")
    said = f"The tank cannot hold the expansion as set, in the {plain_down(holds, HUNDREDTHS)} gal {room}."
    if house_pressure_psi is not None and drew_water_before_reading is False:
        said += " The pressure was read without drawing water first: draw water and read again."
        return authority(said, "cannot hold", holds, "gal", fix=fix)
    return fails(said, "cannot hold", holds, "gal", fix=fix)
