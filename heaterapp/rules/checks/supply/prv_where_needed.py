"""A pressure reducing valve is fitted where the street pressure needs one.

Why: street pressure above the limit bursts hoses and opens relief valves, most of all at night.
Fix: fit a listed pressure reducing valve with its strainer where the supply enters, and set it to the limit or less.
"""

from ...report import Result, authority, fails, meets, unanswered
from ...units import Psi, against_most, plain

CLAUSES = ("supply.pressure_limit", "expansion.control", "expansion.after_regulator")


def _fix(device: str | None, section: str | None) -> str:
    """What to do about it: a valve closes the system, and what then takes up the expansion goes with it."""
    if device in ("tank", "other_listed"):
        return ""
    if section:
        return f"Fit a listed pressure reducing valve with its strainer where the supply enters, and set it to the limit or less. It closes the system: fit an expansion tank or other listed device with it, on its house side ({section})."
    return "Fit a listed pressure reducing valve with its strainer where the supply enters, and set it to the limit or less. It closes the system: of good practice an expansion tank or other listed device goes with it, on its house side."


def check(
    prv_fitted: bool, street_pressure_psi: Psi | None = None, house_pressure_psi: Psi | None = None, drew_water_before_reading: bool | None = None,
    heater_kind: str | None = None, expansion_device: str | None = None,
    *, limit: Psi, heaters: tuple[str, ...] = (), control_section: str | None = None, after_regulator_section: str | None = None,
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
    fix = _fix(expansion_device, (after_regulator_section or control_section) if heater_kind in heaters else None)
    if street_pressure_psi is None and drew_water_before_reading is False:
        return authority(
            said + " Read without drawing water first: draw water and read again.", pressure, limit, "psi", fix=fix
        )
    return fails(said, pressure, limit, "psi", fix=fix)
