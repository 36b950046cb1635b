"""The relief valve opens at or below the pressure the tank and the code allow.

Why: a valve set above the tank's working pressure lets the tank burst first.
Fix: fit a relief valve set at the limit or lower.
"""

from ...questions.relief import FITTED
from ...report import Result, fails, meets
from ...units import Psi, against_most

CLAUSES = ("relief.pressure", "relief.working_pressure")
WHEN = FITTED


def check(relief_pressure_psi: Psi, working_pressure_psi: Psi | None = None, *, most: Psi) -> Result:
    limit, whose, clause = most, "the code's limit", CLAUSES[0]
    if working_pressure_psi is not None and working_pressure_psi < most:
        limit, whose, clause = working_pressure_psi, "the tank's working pressure", CLAUSES[1]
    found, allowed = against_most(relief_pressure_psi, limit)
    said = f"Relief valve set to {found} psi; {whose} is {allowed} psi."
    answer = meets if relief_pressure_psi <= limit else fails
    return answer(said, relief_pressure_psi, limit, "psi", clause=clause)
