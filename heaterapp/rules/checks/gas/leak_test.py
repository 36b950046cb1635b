"""The gas joints do not leak.

Why: gas that leaks lights at the first spark.
Fix: stop: touch no switch, use no phone or flame inside, get everybody out, and call the fire service and the gas
company from a distance. Once they say that you may go in, tighten or remake the joint and test it again with soap solution.
"""

from ...questions.plate import FUEL
from ...report import Result, fails, meets

CLAUSES = ("gas.leak_test",)
WHEN = FUEL
HAZARD = True
MUST_MEASURE = True


def check(gas_leak_test: str) -> Result:
    if gas_leak_test == "passed":
        return meets("Every joint tested, no leak.", "passed", "passed")
    return fails("The leak test failed. Stop. Do not leave this heater running.", "failed", "passed")
