"""With everything firing the gas pressure at the heater is at least what its plate asks.

Why: a starved burner burns badly, makes carbon monoxide and goes out.
Fix: find what starves it: pipe, regulator, meter or connector; measure again with everything firing.
"""

from ...questions.gas import PRESSURE
from ...report import Result, fails, meets
from ...units import InchWaterColumn, against_least

CLAUSES = ("gas.inlet",)
WHEN = PRESSURE


def check(gas_running_inwc: InchWaterColumn, heater_min_inlet_inwc: InchWaterColumn) -> Result:
    found, least = against_least(gas_running_inwc, heater_min_inlet_inwc)
    said = f"{found} in. w.c. with everything firing; the plate asks {least} in. w.c. at least."
    answer = meets if gas_running_inwc >= heater_min_inlet_inwc else fails
    return answer(said, gas_running_inwc, heater_min_inlet_inwc, "in. w.c.")
