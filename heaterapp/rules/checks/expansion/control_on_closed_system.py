"""A closed system has thermal expansion control.

Why: heated water that cannot go back to the street lifts the pressure until something gives.
Fix: fit a listed expansion tank on the cold pipe, on the house side of every valve that closes the system.
"""

from ...catalog import YesNoUnknown
from ...report import Result, Worked, authority, fails, meets, not_applicable, unanswered

CLAUSES = ("expansion.control",)


def check(
    heater_kind: str, expansion_device: str, closed_system: Worked, prv_fitted: YesNoUnknown | None = None,
    check_valve_upstream: YesNoUnknown | None = None, backflow_preventer_upstream: YesNoUnknown | None = None,
    *, heaters: tuple[str, ...],
) -> Result:  # fmt: skip
    limit = "a tank or other listed device"
    if heater_kind not in heaters:
        return not_applicable("This book asks it for storage heaters.")
    if expansion_device != "none":
        said = "Expansion tank fitted." if expansion_device == "tank" else "Another listed device is fitted."
        return meets(f"{said} {closed_system.says}".strip(), expansion_device.replace("_", " "), limit)
    if closed_system.value == "yes":
        return fails(f"No expansion control. {closed_system.says}", "none", limit)
    if closed_system.value == "no":
        return not_applicable(f"The system is open. {closed_system.says}")
    if closed_system.value == "unknown":
        return authority(
            f"Could not check whether the system is closed; a tank is advised. {closed_system.says}",
            "none",
            limit,
        )
    closes = {
        "prv_fitted": prv_fitted,
        "check_valve_upstream": check_valve_upstream,
        "backflow_preventer_upstream": backflow_preventer_upstream,
    }
    needs = tuple(name for name, answer in closes.items() if answer is None)
    return unanswered(closed_system.says, needs=needs)
