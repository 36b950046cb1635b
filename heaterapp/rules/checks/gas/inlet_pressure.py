"""With everything firing the gas pressure at the heater is at least what its plate asks.

Why: a starved burner burns badly, makes carbon monoxide and goes out.
Fix: find what starves it: pipe, regulator, meter or connector; measure again with everything firing.
"""

from ...questions.gas import PRESSURE
from ...report import Result, fails, meets
from ...units import InchWaterColumn, plain

CLAUSES = ("gas.inlet",)
WHEN = PRESSURE


def check(gas_running_inwc: InchWaterColumn, heater_min_inlet_inwc: InchWaterColumn) -> Result:
    said = f"{plain(gas_running_inwc)} in. w.c. with everything firing; the plate asks {plain(heater_min_inlet_inwc)} in. w.c. at least."
    answer = meets if gas_running_inwc >= heater_min_inlet_inwc else fails
    return answer(said, gas_running_inwc, heater_min_inlet_inwc, "in. w.c.")
