"""The expansion tank is on the house side of every valve that closes the system.

Why: on the street side of a reducing or check valve the tank never feels the heater.
Fix: move the tank to the cold pipe between that valve and the heater.
"""

from ...questions.water import BEHIND_A_VALVE
from ...report import Result, fails, meets

CLAUSES = ("expansion.side",)
WHEN = BEHIND_A_VALVE


def check(expansion_tank_downstream_of_prv: bool) -> Result:
    if expansion_tank_downstream_of_prv:
        return meets("On the house side.", "house side", "house side")
    return fails("On the street side of a valve that closes the system.", "street side", "house side")
