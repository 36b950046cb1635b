"""The house pressure is within the adopted limit.

Why: high pressure wears valves and hoses, wastes water and leaves no room for thermal expansion.
Fix: fit or adjust a pressure reducing valve, draw water, and read the pressure again.
"""

from ...report import Result, authority, fails, meets
from ...units import Psi, against_most

CLAUSES = ("supply.pressure_limit",)


def check(house_pressure_psi: Psi, drew_water_before_reading: bool | None = None, *, limit: Psi) -> Result:
    found, most = against_most(house_pressure_psi, limit)
    said = f"House pressure {found} psi, limit {most} psi."
    shown = (house_pressure_psi, limit, "psi")
    if house_pressure_psi <= limit:
        note = (
            " Read without drawing water first: it may be lower."
            if drew_water_before_reading is False
            else ""
        )
        return meets(said + note, *shown)
    if drew_water_before_reading is False:
        again = " Read without drawing water first: trapped expansion may show. Draw water and read again."
        return authority(said + again, *shown)
    return fails(said, *shown)
