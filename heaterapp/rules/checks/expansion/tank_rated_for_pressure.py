"""The expansion tank is rated for at least the relief valve's setting.

Why: everything on the cold side must stand the pressure at which the relief valve opens.
Fix: fit an expansion tank rated at the relief valve's setting or above.
"""

from ...questions.water import TANK
from ...report import Result, fails, meets
from ...units import Psi, against_least

CLAUSES = ("expansion.rating",)
WHEN = TANK


def check(expansion_tank_rating_psi: Psi, relief_pressure_psi: Psi) -> Result:
    found, least = against_least(expansion_tank_rating_psi, relief_pressure_psi)
    said = f"Tank rated {found} psi, relief valve set to {least} psi."
    answer = meets if expansion_tank_rating_psi >= relief_pressure_psi else fails
    return answer(said, expansion_tank_rating_psi, relief_pressure_psi, "psi")
