"""The air charge allows for the temperature at which it was set.

Why: air set warm reads low when it hangs in the cold, and the other way round.
Fix: set the gauge to the figure for the air temperature at the moment of setting.
"""

from ...questions.water import TANK
from ...report import Result, advice
from ...units import DegF, Psi, plain

CLAUSES = ("expansion.precharge",)
KIND = "advice"
WHEN = TANK


def check(precharge_psi: Psi, precharge_at_air_f_psi: Psi, precharge_air_f: DegF, *, near: Psi) -> Result:
    gap = abs(precharge_psi - precharge_at_air_f_psi)
    said = f"At {plain(precharge_air_f)} F the gauge should read {plain(precharge_at_air_f_psi, 1)} psi; it read {plain(precharge_psi)} psi."
    return advice(
        "meets" if gap <= near else "fails",
        said,
        precharge_psi,
        precharge_at_air_f_psi,
        "psi",
        fix=f"Set the gauge to {plain(precharge_at_air_f_psi, 1)} psi at {plain(precharge_air_f)} F.",
    )
