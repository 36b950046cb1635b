"""The relief valve opens before the water boils.

Why: water above boiling flashes to steam when a tank lets go.
Fix: fit a temperature and pressure relief valve of the right temperature.
"""

from ...questions.plate import STORAGE
from ...questions.relief import FITTED
from ...report import Result, fails, meets
from ...units import DegF, against_most

CLAUSES = ("relief.temperature",)
WHEN = FITTED & STORAGE


def check(relief_temperature_f: DegF, *, most: DegF) -> Result:
    found, allowed = against_most(relief_temperature_f, most)
    said = f"Relief valve set to {found} F, {allowed} F at most."
    return (meets if relief_temperature_f <= most else fails)(said, relief_temperature_f, most, "degF")
