"""A pressure reducing valve is fitted where the street pressure needs one.

Why: street pressure above the limit bursts hoses and opens relief valves, most of all at night.
Fix: fit a listed pressure reducing valve with its strainer where the supply enters, and set it to the limit or less.
"""

from ...report import Result, authority, fails, meets, unanswered
from ...units import Psi, against_most, plain

CLAUSES = ("supply.pressure_limit",)


def check(
    prv_fitted: bool, street_pressure_psi: Psi | None = None, house_pressure_psi: Psi | None = None, drew_water_before_reading: bool | None = None,
    *, limit: Psi,
) -> Result:  # fmt: skip
    if prv_fitted:
        street = (
            f" Street pressure {plain(street_pressure_psi)} psi." if street_pressure_psi is not None else ""
        )
        found = "fitted" if street_pressure_psi is None else f"fitted; street {plain(street_pressure_psi)} psi"
        return meets("A reducing valve is fitted." + street, found, "fitted")
    pressure = street_pressure_psi if street_pressure_psi is not None else house_pressure_psi
    if pressure is None:
        return unanswered(
            "To answer: the pressure of the street or, with no valve, of the house.",
            needs=("house_pressure_psi",),
        )
    found, most = against_most(pressure, limit)
    said = f"No reducing valve; {found} psi, limit {most} psi."
    if pressure <= limit:
        return meets(said, pressure, limit, "psi")
    if street_pressure_psi is None and drew_water_before_reading is False:
        return authority(
            said + " Read without drawing water first: draw water and read again.", pressure, limit, "psi"
        )
    return fails(said, pressure, limit, "psi")
