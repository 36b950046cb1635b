"""Nothing can shut the expansion tank off from the heater.

Why: behind a closed valve the tank does nothing, and nobody sees it.
Fix: take the valve out, or lock it open.
"""

from ...questions import as_read
from ...questions.water import TANK
from ...report import Result, fails, meets

CLAUSES = ("expansion.open_to_heater",)
WHEN = TANK


def check(valve_between_tank_and_heater: str) -> Result:
    if valve_between_tank_and_heater == "plain":
        return fails("A plain valve stands between tank and heater.", "plain valve", "none, or locked open")
    return meets(
        "The tank stays open to the heater.",
        as_read("valve_between_tank_and_heater", valve_between_tank_and_heater),
        "none, or locked open",
    )
