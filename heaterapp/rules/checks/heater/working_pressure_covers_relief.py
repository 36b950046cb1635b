"""The heater's working pressure is at least the relief valve's setting.

Why: the tank must stand the pressure at which its relief valve opens.
Fix: fit a relief valve set at the heater's working pressure or lower.
"""

from ...questions.relief import FITTED
from ...report import Result, fails, meets
from ...units import Psi, against_least

CLAUSES = ("relief.working_pressure",)
WHEN = FITTED


def check(working_pressure_psi: Psi, relief_pressure_psi: Psi) -> Result:
    found, least = against_least(working_pressure_psi, relief_pressure_psi)
    said = f"Working pressure {found} psi, relief valve set to {least} psi."
    return (meets if working_pressure_psi >= relief_pressure_psi else fails)(
        said, working_pressure_psi, relief_pressure_psi, "psi"
    )
