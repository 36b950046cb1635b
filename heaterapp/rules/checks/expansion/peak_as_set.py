"""As it is set now, the tank keeps the pressure below the relief valve's setting.

Why: a relief valve that opens at every heating scales up, drips, and one day sticks.
Fix: set the tank's air to the house pressure with the water off; fit a larger tank if that is not enough.
"""

from decimal import Decimal

from ...questions.plate import STORAGE
from ...questions.water import TANK
from ...report import Result, Worked, authority, fails, meets
from ...units import Gallon, Psi, against_most, plain
from . import open_system, to_mend

CLAUSES = ("expansion.peak", "expansion.control")
WHEN = STORAGE & TANK


def check(
    peak_pressure_psi: Worked, relief_pressure_psi: Psi, precharge_psi: Psi, precharge_target_psi: Worked, thermal_expansion_gal: Gallon,
    expansion_acceptance_gal: Gallon | None = None, house_pressure_psi: Psi | None = None, drew_water_before_reading: bool | None = None,
    precharge_installed_psi: Psi | None = None, closed_system: Worked | None = None, *, always: bool = False,
) -> Result:  # fmt: skip
    if (opened := open_system(closed_system, always)) is not None:
        return opened
    charge = precharge_psi if precharge_installed_psi is None else precharge_installed_psi
    by_its_air = precharge_installed_psi is not None
    fix = to_mend(charge, precharge_target_psi, thermal_expansion_gal, expansion_acceptance_gal, by_its_air=by_its_air)
    peak = peak_pressure_psi.value
    trapped = house_pressure_psi is not None and drew_water_before_reading is False
    over = authority if trapped else fails
    again = (
        " The pressure was read without drawing water first: draw water and read again." if trapped else ""
    )
    if not isinstance(peak, Decimal):
        said = "The tank cannot hold the expansion as it is set: the relief valve opens."
        return over(said + again, "cannot hold", relief_pressure_psi, "psi", fix=fix)
    if peak < relief_pressure_psi:
        reached, opens = against_most(peak, relief_pressure_psi, 1)
        said = f"As set, the pressure reaches {reached} psi; the relief valve opens at {opens} psi."
        return meets(said, peak, relief_pressure_psi, "psi")
    said = f"As set, the pressure reaches the relief valve's setting, {plain(relief_pressure_psi)} psi, and it opens."
    return over(said + again, "relief valve opens", relief_pressure_psi, "psi", fix=fix)
