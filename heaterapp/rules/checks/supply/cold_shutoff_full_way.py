"""A full-way shutoff stands on the cold pipe at the heater.

Why: the heater must be shut off at once when it leaks, and a narrow valve starves it.
Fix: fit a ball or gate valve on the cold pipe at the heater.
"""

from ...report import Result, fails, meets

CLAUSES = ("supply.cold_shutoff",)


def check(cold_shutoff: str) -> Result:
    if cold_shutoff == "full_way":
        return meets("Full-way valve on the cold pipe.", "full-way", "full-way")
    return fails("No full-way valve on the cold pipe.", cold_shutoff, "full-way")
