"""The air charge was set with no water pressure on the tank.

Why: with the water on, the gauge shows the water's pressure, whatever the air charge is.
Fix: shut the water off, open a tap, and set the air again.
"""

from ...questions.water import TANK
from ...report import Result, fails, meets

CLAUSES = ("expansion.water_off",)
WHEN = TANK


def check(precharge_set_with_water_off: bool) -> Result:
    if precharge_set_with_water_off:
        return meets("Set with the water off.", "water off", "water off")
    return fails("Set with the water on: the reading shows the water, not the air.", "water on", "water off")
