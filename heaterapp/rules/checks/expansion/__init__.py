"""Thermal expansion on a closed system, and the tank that takes it."""

from __future__ import annotations

from decimal import Decimal

from ...report import Result, Worked, not_applicable
from ...units import against_least, clear_of


def open_system(closed: Worked | None, always: bool) -> Result | None:
    """What is said of a tank where nothing closes the system and nobody asks for one; None elsewhere.

    closed  whether the system is closed
    always  whether the place asks a tank with every heater
    """
    if closed is None or closed.value != "no" or always:
        return None
    return not_applicable(f"The system is open: the water that expands goes back to the street. {closed.says}")


def takes_too_little(expands: Decimal, label: Decimal | None) -> bool:
    """Whether a tank cannot take what expands, in gal, by its label, however its air is set."""
    return label is not None and label < expands


def to_mend(
    charge: Decimal, target: Worked, expands: Decimal, label: Decimal | None, *, by_its_air: bool
) -> str:
    """What to do about a tank that lets the relief valve open; "" where its air is wrong and that may be all.

    charge      the air in it where it hangs            [psi]
    target      what its air should be                  [psi]
    expands     the water that it has to take           [gal]
    label       what its label says it takes, if told   [gal]
    by_its_air  whether its air was set at another temperature than it hangs at
    """
    too_little = takes_too_little(expands, label)
    accepts = against_least(label, expands)[1] if label is not None else ""
    assert isinstance(target.value, Decimal)
    shown, right = (clear_of(one, *target.edges, places=1) for one in (charge, target.value))
    if target.unsettled:
        return "Lower the house pressure first; then size the tank, and set its air, by what is read then."
    if shown == right:
        if too_little:
            return f"Fit an expansion tank that accepts at least {accepts} gal."
        return "Fit a larger expansion tank, or lower the house pressure."
    if by_its_air and too_little:
        return f"With the water off set the gauge as worked out for its air temperature, and fit a tank that accepts at least {accepts} gal."
    if by_its_air:
        return "With the water off set the gauge as worked out for its air temperature; fit a larger tank if that is not enough."
    if too_little:
        return f"Set the tank's air to the house pressure with the water off, and fit a tank that accepts at least {accepts} gal."
    return ""
