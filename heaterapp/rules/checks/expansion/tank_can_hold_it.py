"""As it is set now, the tank can hold the expanded water.

Why: a tank whose bladder is against its shell takes nothing more, and the pressure jumps.
Fix: set the tank's air to the house pressure with the water off; if it still cannot, fit a larger tank.
"""

from decimal import Decimal

from ...questions.plate import STORAGE
from ...questions.water import TANK
from ...report import Result, Worked, fails, meets
from ...units import Gallon, plain

CLAUSES = ("expansion.peak",)
WHEN = STORAGE & TANK


def check(
    acceptance_used_gal: Worked, expansion_tank_gal: Gallon, expansion_acceptance_gal: Gallon | None = None
) -> Result:
    used = acceptance_used_gal.value
    holds = expansion_acceptance_gal if expansion_acceptance_gal is not None else expansion_tank_gal
    if not isinstance(used, Decimal):
        return fails(
            f"The tank cannot hold the expansion as set; it takes {plain(holds)} gal.",
            "cannot hold",
            holds,
            "gal",
        )
    return meets(
        f"When hot it holds {plain(used)} gal of water; it takes {plain(holds)} gal.", used, holds, "gal"
    )
