"""No hazard that was met is left behind.

Why: gas, flue gas, carbon monoxide or scorched wood can kill the people of the house tonight.
Fix: stop: shut the heater off. Repair what is wrong and test again, or leave it off, tagged, and tell the owner.
"""

from ...questions.alarms import HAZARDS
from ...report import Result, fails, meets

CLAUSES = ("heater.hazard",)
HAZARD = True
_SOURCES = ("emergency_number",)
"""Where the number to call was read, and who says otherwise: a line of the table of sources."""
_FIRST = {
    "gas_leak": "Stop: touch no switch, use no phone or flame inside, get everybody out. Call 911 and the gas supplier from a distance. Shut the gas off where nobody has to go back in for it. Once they say that you may go in, repair it, and test every joint again.",
    "co": "Stop: get everybody into fresh air and call 911 from outside. Go back in when the fire service says so, and shut the heater off. Then find what burns badly or spills, repair it, and measure again.",
}  # fmt: skip


def check(hazard_found: str, hazard_action: str | None = None) -> Result:
    if hazard_found == "none":
        return meets("No hazard was met.", "none", "none")
    shown = HAZARDS[hazard_found] if hazard_found != "other" else "A hazard"
    if hazard_action == "repaired":
        return meets(f"{shown}: repaired and tested again.", "repaired", "none left")
    said = f"{shown} was found, and is not said to be repaired. Stop. Do not leave this heater running."
    return fails(said, shown.lower(), "none left", fix=_FIRST.get(hazard_found, ""))
