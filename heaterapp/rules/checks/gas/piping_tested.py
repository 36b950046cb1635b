"""New gas piping held its test pressure for the test time.

Why: a joint that leaks a little today leaks more later, behind the wall.
Fix: cap the heater off, test at the pressure and for the time the book asks, and find what falls.
"""

from ...questions.gas import NEW_PIPING
from ...report import Result, fails, meets
from ...units import Minute, Psi, Ratio, against_least

CLAUSES = ("gas.piping_test",)
WHEN = NEW_PIPING


def check(
    gas_piping_test_psi: Psi, gas_piping_test_min: Minute, gas_supply_pressure_psi: Psi,
    *, least_psi: Psi, minutes: Minute, working_factor: Ratio | None = None, high_over: Psi | None = None, high_psi: Psi | None = None,
    high_minutes: Minute | None = None,
) -> Result:  # fmt: skip
    working = working_factor * gas_supply_pressure_psi if working_factor is not None else least_psi
    psi, time = max(least_psi, working), minutes
    if high_over is not None and high_psi is not None and high_minutes is not None and gas_supply_pressure_psi > high_over:
        psi, time = high_psi, high_minutes
    at, least = against_least(gas_piping_test_psi, psi)
    held, asked = against_least(gas_piping_test_min, time)
    said = f"Tested at {at} psi for {held} min; {least} psi for {asked} min is asked."
    if gas_piping_test_psi < psi:
        return fails(said, gas_piping_test_psi, psi, "psi")
    answer = meets if gas_piping_test_min >= time else fails
    return answer(said, gas_piping_test_min, time, "min")
