"""The maker's instructions were left at the heater.

Why: inspector, next plumber and owner need them, and the warranty asks for them.
Fix: leave the instructions in a sleeve at the heater.
"""

from ...report import Result, fails, meets

CLAUSES = ("paperwork.manual_left",)


def check(manual_left: bool) -> Result:
    if manual_left:
        return meets("Instructions left.", "left", "left")
    return fails("The maker's instructions are not there.", "not left", "left")
