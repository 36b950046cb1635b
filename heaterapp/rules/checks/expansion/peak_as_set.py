"""As it is set now, the tank keeps the pressure below the relief valve's setting.

Why: a relief valve that opens at every heating scales up, drips, and one day sticks.
Fix: set the tank's air to the house pressure with the water off; fit a larger tank if that is not enough.
"""

from decimal import Decimal

from ...questions.plate import STORAGE
from ...questions.water import TANK
from ...report import Result, Worked, authority, fails, meets
from ...units import Psi, against_most

CLAUSES = ("expansion.peak",)
WHEN = STORAGE & TANK
_BY_ITS_AIR = "With the water off set the gauge as worked out for its air temperature; fit a larger tank if that is not enough."


def check(
    peak_pressure_psi: Worked, relief_pressure_psi: Psi, house_pressure_psi: Psi | None = None,
    drew_water_before_reading: bool | None = None, precharge_installed_psi: Psi | None = None,
) -> Result:  # fmt: skip
    fix = _BY_ITS_AIR if precharge_installed_psi is not None else ""
    peak = peak_pressure_psi.value
    trapped = house_pressure_psi is not None and drew_water_before_reading is False
    over = authority if trapped else fails
    again = (
        " The pressure was read without drawing water first: draw water and read again." if trapped else ""
    )
    if not isinstance(peak, Decimal):
        said = "The tank cannot hold the expansion as it is set: the relief valve opens."
        return over(said + again, "cannot hold", relief_pressure_psi, "psi", fix=fix)
    reached, opens = against_most(peak, relief_pressure_psi, 1)
    said = f"As set, the pressure reaches {reached} psi; the relief valve opens at {opens} psi."
    if peak < relief_pressure_psi:
        return meets(said, peak, relief_pressure_psi, "psi")
    return over(said + again, peak, relief_pressure_psi, "psi", fix=fix)
