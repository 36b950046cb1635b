"""A relief valve is fitted.

Why: a tank without one can burst through the roof when its thermostat sticks.
Fix: stop: shut the heater off and fit a listed temperature and pressure relief valve before it runs.
"""

from ...questions.plate import STORAGE
from ...report import Result, authority, fails, meets, not_applicable

CLAUSES = ("relief.valve",)
HAZARD = True


def check(heater_kind: str, relief_fitted: bool, *, tankless: str) -> Result:
    if relief_fitted:
        return meets("Relief valve fitted.", "fitted", "fitted")
    if STORAGE.holds(lambda _: heater_kind):
        return fails("No relief valve. Stop. Do not leave this heater running.", "none", "fitted")
    if tankless == "exempt":
        return not_applicable(
            "A listed tankless heater with small passages is exempt; its maker's instructions decide."
        )
    return authority(
        "No relief valve on a tankless heater: its maker's instructions and the authority decide.",
        "none",
        "by the maker",
        fix="Fit the pressure relief valve that the maker's instructions name, or have the authority accept the heater without one.",
    )
