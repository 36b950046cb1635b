"""The burner is vented.

Why: an unvented heater fills the house with carbon monoxide.
Fix: stop: shut the gas off, tag the heater, and do not leave it running until a vent of its kind is fitted.
"""

from ...questions.plate import FUEL
from ...report import Result, fails, meets

CLAUSES = ("venting.vent_kinds",)
WHEN = FUEL
HAZARD = True


def check(vent_kind: str) -> Result:
    if vent_kind == "none":
        return fails("No vent. Stop. Do not leave this heater running.", "no vent", "a vent")
    return meets("Vented.", vent_kind.replace("_", " "), "a vent")
