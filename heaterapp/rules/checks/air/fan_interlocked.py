"""The burner cannot fire unless the fan that brings its air runs.

Why: when the fan stops the burner starves and makes carbon monoxide.
Fix: have the fan proved by the burner's controls before the heater is lit again.
"""

from ...questions.air import FAN, INDOOR_AIR
from ...report import Result, fails, meets

CLAUSES = ("air.mechanical",)
WHEN = INDOOR_AIR & FAN


def check(mechanical_air_interlocked: bool) -> Result:
    if mechanical_air_interlocked:
        return meets("The burner waits for the fan.", "interlocked", "interlocked")
    return fails("The burner can fire while the fan stands still.", "not interlocked", "interlocked")
