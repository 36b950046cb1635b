"""No valve stands between the tank and its relief valve.

Why: a closed valve there turns the tank into a bomb.
Fix: stop: take the valve out and screw the relief valve into the tank.
"""

from ...questions.relief import FITTED
from ...report import Result, fails, meets

CLAUSES = ("relief.nothing_between",)
WHEN = FITTED
HAZARD = True


def check(valve_between_relief_and_tank: bool) -> Result:
    if not valve_between_relief_and_tank:
        return meets("Nothing between tank and relief valve.", "nothing", "nothing")
    return fails(
        "A valve stands between tank and relief valve. Stop. Do not leave this heater running.",
        "valve",
        "nothing",
    )
