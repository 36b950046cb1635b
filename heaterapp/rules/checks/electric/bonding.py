"""The metal pipes at the heater are bonded as the authority asks.

Why: a break in metal piping at the heater can leave a pipe live after a fault.
Fix: clamp a copper jumper between the hot, cold and gas pipes at the heater, if the authority asks for one.
"""

from ...report import Result, authority, fails, meets

CLAUSES = ("electric.bonding",)


def check(bonding_hot_cold_gas: bool, *, jumper_required: bool) -> Result:
    if bonding_hot_cold_gas:
        return meets("Hot, cold and gas pipes are bonded together at the heater.", "bonded", "bonded")
    if jumper_required:
        return fails("The pipes are not bonded together at the heater.", "not bonded", "bonded")
    return authority(
        "The electrical code bonds metal piping as a whole and names no jumper at the heater; many authorities ask for one.",
        "not bonded",
        None,
    )
