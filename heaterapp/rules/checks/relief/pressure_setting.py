"""The relief valve opens at or below the pressure the tank and the code allow.

Why: a valve set above the tank's working pressure lets the tank burst first.
Fix: fit a relief valve set at the limit or lower.
"""

from ...questions.relief import FITTED
from ...report import Result, fails, meets
from ...units import Psi, plain

CLAUSES = ("relief.pressure",)
WHEN = FITTED


def check(relief_pressure_psi: Psi, working_pressure_psi: Psi | None = None, *, most: Psi) -> Result:
    limit = most if working_pressure_psi is None else min(most, working_pressure_psi)
    said = f"Relief valve set to {plain(relief_pressure_psi)} psi, {plain(limit)} psi at most."
    return (meets if relief_pressure_psi <= limit else fails)(said, relief_pressure_psi, limit, "psi")
