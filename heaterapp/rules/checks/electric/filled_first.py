"""The tank was full of water before power was turned on.

Why: an element that is not under water burns out in seconds.
Fix: turn the power off, fill the tank until water runs at a hot tap, test the elements, then restore power.
"""

from ...questions.plate import ELECTRIC, STORAGE
from ...report import Result, fails, meets

CLAUSES = ("electric.filled_first",)
WHEN = ELECTRIC & STORAGE


def check(tank_full_before_power: bool) -> Result:
    if tank_full_before_power:
        return meets("Filled first, then powered.", "full", "full")
    return fails("Power was on before the tank was full: the elements may be burnt out.", "not full", "full")
