"""As it is set now, the tank keeps the pressure below the relief valve's setting.

Why: a relief valve that opens at every heating scales up, drips, and one day sticks.
Fix: set the tank's air to the house pressure with the water off; fit a larger tank if that is not enough.
"""

from decimal import Decimal

from ...questions.plate import STORAGE
from ...questions.water import TANK
from ...report import Result, Worked, fails, meets
from ...units import Psi, plain

CLAUSES = ("expansion.peak",)
WHEN = STORAGE & TANK


def check(peak_pressure_psi: Worked, relief_pressure_psi: Psi) -> Result:
    peak = peak_pressure_psi.value
    if not isinstance(peak, Decimal):
        return fails(
            "The tank cannot hold the expansion as it is set: the relief valve opens.",
            "cannot hold",
            relief_pressure_psi,
            "psi",
        )
    said = f"As set, the pressure reaches {plain(peak, 1)} psi; the relief valve opens at {plain(relief_pressure_psi)} psi."
    return (meets if peak < relief_pressure_psi else fails)(said, peak, relief_pressure_psi, "psi")
