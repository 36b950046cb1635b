"""A sediment trap stands ahead of the heater's gas control.

Why: scale and drops from the pipe foul the gas control and hold it open.
Fix: fit a tee with a capped nipple at its foot, after the shutoff and as near the inlet as can be.
"""

from ...questions.plate import FUEL
from ...report import Result, fails, meets

CLAUSES = ("gas.sediment_trap",)
WHEN = FUEL


def check(sediment_trap: bool) -> Result:
    if sediment_trap:
        return meets("A sediment trap is fitted.", "fitted", "fitted")
    return fails("There is no sediment trap.", "none", "fitted")
