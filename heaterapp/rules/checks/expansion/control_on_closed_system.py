"""A closed system has thermal expansion control.

Why: heated water that cannot go back to the street lifts the pressure until something gives.
Fix: fit a listed expansion tank on the cold pipe, on the house side of every valve that closes the system.
"""

from ...catalog import YesNoUnknown
from ...questions import as_read
from ...report import Result, Worked, authority, fails, meets, not_applicable, unanswered
from ...units import Psi

CLAUSES = ("expansion.control", "expansion.after_regulator", "supply.pressure_limit")
_LOWER_FIRST = (
    "Lower the house pressure with a reducing valve: as it is, no expansion tank of a usual size keeps to the limit. "
    "Then fit a listed one on the cold pipe, on the house side of every valve that closes the system."
)


def check(
    heater_kind: str, expansion_device: str | None = None, closed_system: Worked | None = None, prv_fitted: YesNoUnknown | None = None,
    check_valve_upstream: YesNoUnknown | None = None, backflow_preventer_upstream: YesNoUnknown | None = None,
    street_pressure_psi: Psi | None = None, house_pressure_psi: Psi | None = None,
    expansion_tank_needed_gal: Worked | None = None, *, heaters: tuple[str, ...], limit: Psi, always: bool = False,
) -> Result:  # fmt: skip
    wanted = "a tank or other listed device"
    if heater_kind not in heaters:
        return not_applicable("This book asks it for storage heaters.")
    closed = closed_system.value if closed_system is not None else None
    reason = closed_system.says if closed_system is not None else ""
    regulated = prv_fitted == "yes" and street_pressure_psi is not None and street_pressure_psi > limit
    clause = "expansion.after_regulator" if regulated else "expansion.control"
    if closed == "no" and not always:
        pressure = street_pressure_psi if street_pressure_psi is not None else house_pressure_psi
        if prv_fitted == "no" and pressure is not None and pressure > limit:
            return not_applicable("The system is open until the reducing valve that is asked for closes it.")
        return not_applicable(f"The system is open. {reason}")
    if expansion_device in ("tank", "other_listed"):
        said = "Expansion tank fitted." if expansion_device == "tank" else "Another listed device is fitted."
        return meets(f"{said} {reason}".strip(), as_read("expansion_device", expansion_device), wanted, clause=clause)
    if expansion_device is None:
        return unanswered("To answer: what takes up the expansion.", needs=("expansion_device",))
    no_size = expansion_tank_needed_gal is not None and expansion_tank_needed_gal.value is None
    fix = _LOWER_FIRST if no_size else ""
    if always:
        return fails("No expansion control: here every heater has it, whatever closes the system.", "none", wanted, fix=fix)
    if closed == "yes":
        return fails(f"No expansion control. {reason}", "none", wanted, clause=clause, fix=fix)
    if closed == "unknown":
        said = "Could not check whether the system is closed; a tank is advised. If the pressure rises while the heater heats, it is closed."
        return authority(f"{said} {reason}", "none", wanted, fix=fix)
    closes = {
        "prv_fitted": prv_fitted, "check_valve_upstream": check_valve_upstream, "backflow_preventer_upstream": backflow_preventer_upstream,
    }  # fmt: skip
    needs = tuple(name for name, answer in closes.items() if answer is None)
    return unanswered(
        "To answer: what may close the system: reducing valve, check valve or backflow preventer.",
        needs=needs,
    )
