"""As it is set now, the tank can hold the expanded water.

Why: a tank whose bladder is against its shell takes nothing more, and the pressure jumps.
Fix: set the tank's air to the house pressure with the water off; if it still cannot, fit a larger tank.
"""

from decimal import Decimal

from ...questions.plate import STORAGE
from ...questions.water import TANK
from ...report import Result, Worked, authority, fails, meets
from ...units import HUNDREDTHS, Gallon, Psi, against_most, plain_down
from . import open_system, to_mend

CLAUSES = ("expansion.peak", "expansion.control")
WHEN = STORAGE & TANK


def check(
    acceptance_used_gal: Worked, expansion_tank_gal: Gallon, precharge_psi: Psi, precharge_target_psi: Worked, thermal_expansion_gal: Gallon,
    expansion_acceptance_gal: Gallon | None = None, house_pressure_psi: Psi | None = None, drew_water_before_reading: bool | None = None,
    precharge_installed_psi: Psi | None = None, closed_system: Worked | None = None, *, always: bool = False,
) -> Result:  # fmt: skip
    if (opened := open_system(closed_system, always)) is not None:
        return opened
    charge = precharge_psi if precharge_installed_psi is None else precharge_installed_psi
    by_its_air = precharge_installed_psi is not None
    fix = to_mend(charge, precharge_target_psi, thermal_expansion_gal, expansion_acceptance_gal, by_its_air=by_its_air)
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
