"""The reducing valve holds what it is set to.

Why: a valve that creeps or sticks lets the pressure, and the tank's charge, drift apart.
Fix: draw water and read again; if it still differs, clean the strainer or replace the valve.
"""

from ...report import Result, advice
from ...units import Psi, clear_of, plain
from ...when import yes

CLAUSES = ("supply.prv_drift",)
KIND = "advice"
WHEN = yes("prv_fitted")


def check(house_pressure_psi: Psi, prv_setting_psi: Psi, *, most: Psi) -> Result:
    gap = abs(house_pressure_psi - prv_setting_psi)
    said = f"Set to {plain(prv_setting_psi)} psi, the house reads {plain(house_pressure_psi)} psi: {clear_of(gap, most)} psi apart."
    return advice("meets" if gap <= most else "fails", said, gap, most, "psi")
