"""Figures of the expansion tank: the size it takes, the pressure it lets come, the water in it."""

from __future__ import annotations

from decimal import Decimal

from ..calc import expansion
from ..catalog import YesNoUnknown
from ..figure import figure
from ..questions.plate import STORAGE
from ..questions.water import TANK
from ..redone import Given, as_redone
from ..report import Worked
from ..units import Gallon, Psi, plain, plain_up
from .water import FINE, GROWN, PRESSURE, SIZE, TYPED, VALVE_FIRST

_BOYLE = "Boyle's law, absolute pressures, gauge plus local air pressure"
_LIMIT = ("expansion.pressure_limit", "expansion.advised_limit")
_CONTROL = "expansion.control"
_IF_CLOSED = "If the system is closed, with every tap shut."
_OPEN = "The system is open: the water that expands goes back to the street."


def _is_open(closed: Worked | None, always: bool) -> bool:
    return closed is not None and closed.value == "no" and not always


@figure(
    "gal",
    "0.1",
    "Vt = Ve / (1 - (Ps + Pa) / (Pm + Pa)), charged to Ps",
    _BOYLE,
    when=STORAGE,
    clauses=(*_LIMIT, "expansion.usual_size", _CONTROL),
    up=True,
)
def expansion_tank_needed_gal(
    thermal_expansion_gal: Gallon, precharge_target_psi: Worked, local_atmosphere_psia: Psi,
    closed_system: Worked | None = None, expansion_device: str | None = None, expansion_tank_gal: Gallon | None = None,
    prv_fitted: YesNoUnknown | None = None,
    *, limit: Psi | None = None, advised_limit: Psi, usual_gal: Gallon, always: bool = False,
) -> Worked:  # fmt: skip
    if _is_open(closed_system, always):
        asked = prv_fitted == "no" and precharge_target_psi.unsettled
        return Worked(None, says=VALVE_FIRST if asked else "The system is open: no tank is needed.")
    if expansion_device == "other_listed":
        return Worked(None, says="Not needed: the listed device takes the expansion.")
    most, basis = (
        (limit, "the book's limit")
        if limit is not None
        else (advised_limit, "the advice of good practice; the book names no limit")
    )
    target = precharge_target_psi.value
    assert isinstance(target, Decimal)
    found = expansion.tank_needed(thermal_expansion_gal, target, target, most, local_atmosphere_psia)
    said = f"To {plain(most)} psi, {basis}."
    if found.value is None:
        return Worked(None, says=f"No size keeps to {plain(most)} psi: lower the house pressure.", barred=True)
    there = expansion_tank_gal if expansion_device == "tank" and expansion_tank_gal is not None else usual_gal
    if found.value > max(usual_gal, there):
        return Worked(None, says=f"No tank of a usual size keeps to {plain(most)} psi: lower the house pressure.")
    if thermal_expansion_gal == 0:
        return Worked(found.value, f"nothing expands, so {plain_up(found.value, SIZE)} gal", said)
    grown, air, supply = plain(thermal_expansion_gal), plain(local_atmosphere_psia), plain(target, FINE)
    worked = f"{grown} / (1 - ({supply} + {air}) / ({plain(most)} + {air})) = {plain_up(found.value, SIZE)} gal, rounded up"
    return Worked(found.value, worked, said)


@figure(
    "psi", "0.1", "P = Pc Vt / (Vt Pc / P0 - Ve), P0 = max(Ps, Pc), absolute", _BOYLE, when=STORAGE & TANK, clauses=(_CONTROL,), up=True,
)  # fmt: skip
def peak_pressure_psi(
    thermal_expansion_gal: Gallon, expansion_tank_gal: Gallon, precharge_psi: Psi, precharge_target_psi: Psi, local_atmosphere_psia: Psi,
    expansion_acceptance_gal: Gallon | None = None, relief_pressure_psi: Psi | None = None, precharge_installed_psi: Psi | None = None,
    closed_system: Worked | None = None, *, always: bool = False,
) -> Worked:  # fmt: skip
    if _is_open(closed_system, always):
        return Worked(None, says=_OPEN)
    return _peak(
        thermal_expansion_gal,
        expansion_tank_gal,
        precharge_psi if precharge_installed_psi is None else precharge_installed_psi,
        precharge_target_psi,
        local_atmosphere_psia,
        expansion_acceptance_gal,
        relief_pressure_psi,
        closed_system,
    )


@figure(
    "psi", "0.1", "the same with the tank charged to the house pressure: Pc = Ps", _BOYLE, when=STORAGE & TANK, clauses=(_CONTROL,), up=True,
)  # fmt: skip
def peak_pressure_as_recommended_psi(
    thermal_expansion_gal: Gallon, expansion_tank_gal: Gallon, precharge_target_psi: Psi, local_atmosphere_psia: Psi,
    expansion_acceptance_gal: Gallon | None = None, relief_pressure_psi: Psi | None = None,
    closed_system: Worked | None = None, *, always: bool = False,
) -> Worked:  # fmt: skip
    if _is_open(closed_system, always):
        return Worked(None, says=_OPEN)
    target = precharge_target_psi
    return _peak(
        thermal_expansion_gal, expansion_tank_gal, target, target, local_atmosphere_psia, expansion_acceptance_gal,
        relief_pressure_psi, closed_system,
    )  # fmt: skip


def _peak(
    grown: Decimal,
    tank: Decimal,
    charge: Decimal,
    supply: Decimal,
    air: Decimal,
    holds: Decimal | None,
    relief: Decimal | None,
    closed: Worked | None,
) -> Worked:
    found = expansion.peak_pressure(grown, tank, charge, supply, air, holds, relief)
    if found.value is None:
        return Worked(None, says=found.says)
    high, shown = max(charge, supply), plain_up(found.value, PRESSURE)
    size, c = as_redone(
        lambda vt, pc: plain_up((pc + air) * vt / (vt * (pc + air) / (max(pc, high) + air) - grown) - air, PRESSURE), shown,
        Given(tank, TYPED), Given(charge, TYPED),
    )  # fmt: skip
    s, a, g = c if charge == high else plain(high, FINE), plain(air), plain(grown)
    worked = f"({c} + {a}) x {size} / ({size} x ({c} + {a}) / ({s} + {a}) - {g}) - {a} = {shown} psi"
    unseen = _IF_CLOSED if closed is not None and closed.value == "unknown" else ""
    if relief is None or found.value < relief:
        return Worked(found.value, worked, unseen)
    says = f"The relief valve opens at {plain(relief)} psi. What is worked out is what the pressure would be without it."
    return Worked(found.value, worked, f"{unseen} {says}".strip(), held_at=relief)


@figure("gal", "0.001", "Vw = Vt (1 - Pc / P0) + Ve, absolute", _BOYLE, when=STORAGE & TANK, clauses=(_CONTROL,), up=True)
def acceptance_used_gal(
    thermal_expansion_gal: Gallon, expansion_tank_gal: Gallon, precharge_psi: Psi, precharge_target_psi: Psi, local_atmosphere_psia: Psi,
    expansion_acceptance_gal: Gallon | None = None, precharge_installed_psi: Psi | None = None,
    closed_system: Worked | None = None, *, always: bool = False,
) -> Worked:  # fmt: skip
    if _is_open(closed_system, always):
        return Worked(None, says=_OPEN)
    charge = precharge_psi if precharge_installed_psi is None else precharge_installed_psi
    found = expansion.acceptance_used(
        thermal_expansion_gal,
        expansion_tank_gal,
        charge,
        precharge_target_psi,
        local_atmosphere_psia,
        expansion_acceptance_gal,
    )
    if found.value is None:
        return Worked(None, says=found.says)
    high, air, shown = max(charge, precharge_target_psi), local_atmosphere_psia, plain_up(found.value, GROWN)
    size, c = as_redone(
        lambda vt, pc: plain_up(vt * (1 - (pc + air) / (max(pc, high) + air)) + thermal_expansion_gal, GROWN), shown,
        Given(expansion_tank_gal, TYPED), Given(charge, TYPED),
    )  # fmt: skip
    s, a = c if charge == high else plain(high, FINE), plain(air)
    worked = f"{size} x (1 - ({c} + {a}) / ({s} + {a})) + {plain(thermal_expansion_gal)} = {shown} gal"
    return Worked(found.value, worked, found.says)
