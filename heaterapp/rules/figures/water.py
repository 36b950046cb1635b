"""Figures of water, pressure and expansion."""

from __future__ import annotations

from decimal import Decimal

from ..calc import altitude, expansion
from ..calc.water import density
from ..catalog import YesNoUnknown
from ..figure import figure
from ..questions.plate import STORAGE
from ..questions.water import TANK
from ..redone import Given, as_redone
from ..report import Worked
from ..units import DegF, Foot, Gallon, Psi, clear_of, plain, plain_up
from ..when import differ

_BOYLE = "Boyle's law, absolute pressures, gauge plus local air pressure"
GROWN, AIR, SIZE, PRESSURE, FINE = 3, 3, 1, 1, 6
"""To how many places the figures print the water that expands, the air's pressure, a tank's size, a pressure; and an answer."""
VALVE_FIRST = "The reducing valve that is asked for closes the system: size the tank for the pressure that it is set to."
_LIMIT = ("expansion.pressure_limit", "expansion.advised_limit")
_CLOSES = {
    "prv_fitted": "a reducing valve", "check_valve_upstream": "a check valve", "backflow_preventer_upstream": "a backflow preventer",
}  # fmt: skip


@figure("psi", "0.001", "Pa = 14.696 (1 - 6.8754e-6 Z)^5.2559", "US Standard Atmosphere 1976, troposphere")
def local_atmosphere_psia(elevation_ft: Foot) -> Worked:
    value = altitude.atmosphere(elevation_ft)
    return Worked(value, f"14.696 x (1 - 6.8754e-6 x {plain(elevation_ft)})^5.2559 = {plain(value)} psia")


@figure(
    "gal",
    "0.001",
    "Ve = V (density cold / density hot - 1)",
    "ratio of specific volumes; densities by Kell 1975 at one atmosphere",
    when=STORAGE,
    up=True,
)
def thermal_expansion_gal(
    storage_gal: Gallon, thermostat_f: DegF, cold_inlet_f: DegF, extra_hot_volume_gal: Gallon
) -> Worked:
    volume = storage_gal + extra_hot_volume_gal
    value = expansion.thermal_expansion(volume, cold_inlet_f, thermostat_f)
    cold, hot = plain(density(cold_inlet_f), 5), plain(density(thermostat_f), 5)
    return Worked(
        value,
        f"{plain(volume, FINE)} x ({cold} / {hot} - 1) = {plain_up(value, GROWN)} gal, {plain(cold_inlet_f)} to {plain(thermostat_f)} F",
    )


@figure(
    "",
    "1",
    "closed by a reducing valve, check valve or backflow preventer, or by a pressure that rises on heating",
    "plumbing codes, thermal expansion control",
    clauses=("expansion.bypass_opens",),
)
def closed_system(
    prv_fitted: YesNoUnknown | None = None, check_valve_upstream: YesNoUnknown | None = None, backflow_preventer_upstream: YesNoUnknown | None = None,
    prv_bypass: bool | None = None, pressure_rises_on_heating: str | None = None, *, bypass_opens: bool | None = None,
) -> Worked:  # fmt: skip
    said = {
        "prv_fitted": prv_fitted,
        "check_valve_upstream": check_valve_upstream,
        "backflow_preventer_upstream": backflow_preventer_upstream,
    }
    opened = bool(bypass_opens and prv_bypass)
    closing = [
        _CLOSES[key]
        for key, answer in said.items()
        if answer == "yes" and not (key == "prv_fitted" and opened)
    ]
    if closing:
        return Worked("yes", says="Closed by " + ", ".join(closing) + ".")
    if pressure_rises_on_heating == "yes":
        return Worked("yes", says="Closed: the pressure rises while the heater heats.")
    missing = tuple(
        key for key, answer in said.items() if answer is None or (key == "prv_fitted" and answer == "unknown")
    )
    if missing:
        return Worked(None, needs=missing)
    unseen = [_CLOSES[key] for key, answer in said.items() if answer == "unknown"]
    if unseen:
        return Worked("unknown", says="Could not be seen: " + ", ".join(unseen) + ".")
    return Worked(
        "no",
        says="No reducing valve, check valve or backflow preventer"
        + (", the bypass counted." if opened else "."),
    )


@figure(
    "psi",
    "0.1",
    "the house pressure; else the reducing valve's setting; else, with no valve, the street's",
    "expansion tank makers' instructions everywhere: charge to the pressure the tank meets",
    clauses=("supply.pressure_limit",),
)
def precharge_target_psi(
    house_pressure_psi: Psi | None = None,
    prv_fitted: bool | None = None,
    prv_setting_psi: Psi | None = None,
    street_pressure_psi: Psi | None = None,
    *,
    limit: Psi | None = None,
) -> Worked:
    unmeasured = "The house pressure was not measured."
    if house_pressure_psi is not None:
        target, basis, says = house_pressure_psi, "house pressure, measured", ""
    elif prv_fitted and prv_setting_psi is not None:
        target, basis, says = prv_setting_psi, "reducing valve's setting", unmeasured
    elif prv_fitted is False and street_pressure_psi is not None:
        target, basis, says = street_pressure_psi, "no reducing valve, street pressure", unmeasured
    else:
        return Worked(None, needs=("house_pressure_psi",))
    # with no valve the street's pressure may come on at any time: the valve that it calls for decides the charge
    street = street_pressure_psi if prv_fitted is False and street_pressure_psi is not None else target
    over = limit is not None and max(target, street) > limit
    says = f"{says} {expansion.REDUCE_FIRST if over else ''}".strip()
    return Worked(target, f"{basis}: {plain(target, PRESSURE)} psi", says, unsettled=over)


@figure(
    "psi",
    "0.1",
    "Pc2 = (Pc1 + Pa) (T2 + 459.67) / (T1 + 459.67) - Pa",
    "Gay-Lussac's law, water side empty",
    when=TANK,
)
def precharge_at_air_f_psi(
    precharge_target_psi: Worked, precharge_air_f: DegF, installed_air_f: DegF, local_atmosphere_psia: Psi
) -> Worked:
    target = precharge_target_psi.value
    assert isinstance(target, Decimal)
    value = expansion.precharge_at_air(target, installed_air_f, precharge_air_f, local_atmosphere_psia)
    if value < 0:
        return Worked(
            None, says=f"At {plain(precharge_air_f)} F so low a charge leaves no pressure to read on a gauge."
        )
    air = plain(local_atmosphere_psia, AIR)
    worked = f"({plain(target)} + {air}) x ({plain(precharge_air_f)} + 459.67) / ({plain(installed_air_f)} + 459.67) - {air} = {plain(value, 1)} psi"
    if precharge_target_psi.unsettled:
        return Worked(value, says=expansion.REDUCE_FIRST, unsettled=True)
    if precharge_air_f == installed_air_f:
        worked = f"set where it hangs: {plain(target, 1)} psi"
        return Worked(value, worked, f"What the gauge should read at {plain(precharge_air_f)} F.")
    says = f"What the gauge should read at {plain(precharge_air_f)} F, to be {plain(target, 1)} psi at {plain(installed_air_f)} F where the tank hangs."
    return Worked(value, worked, says)


@figure(
    "psi",
    "0.1",
    "Pc2 = (Pc1 + Pa) (T2 + 459.67) / (T1 + 459.67) - Pa",
    "Gay-Lussac's law, water side empty",
    when=TANK & differ("precharge_air_f", "installed_air_f"),
)
def precharge_installed_psi(
    precharge_psi: Psi, precharge_air_f: DegF, installed_air_f: DegF, local_atmosphere_psia: Psi
) -> Worked:
    value = expansion.precharge_at_air(precharge_psi, precharge_air_f, installed_air_f, local_atmosphere_psia)
    read, air = plain(precharge_psi), plain(local_atmosphere_psia)
    worked = f"({read} + {air}) x ({plain(installed_air_f)} + 459.67) / ({plain(precharge_air_f)} + 459.67) - {air} = {plain(value, 1)} psi"
    return Worked(value, worked, f"It read {read} psi at {plain(precharge_air_f)} F; the tank hangs at {plain(installed_air_f)} F.")


@figure(
    "gal",
    "0.1",
    "Vt = Ve / (1 - (Ps + Pa) / (Pm + Pa)), charged to Ps",
    _BOYLE,
    when=STORAGE,
    clauses=(*_LIMIT, "expansion.control"),
    up=True,
)
def expansion_tank_needed_gal(
    thermal_expansion_gal: Gallon, precharge_target_psi: Worked, local_atmosphere_psia: Psi,
    closed_system: Worked | None = None, expansion_device: str | None = None, prv_fitted: YesNoUnknown | None = None,
    *, limit: Psi | None = None, advised_limit: Psi, always: bool = False,
) -> Worked:  # fmt: skip
    if closed_system is not None and closed_system.value == "no" and expansion_device != "tank" and not always:
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
        return Worked(
            None, says=f"{found.says}: the house pressure is at {plain(most)} psi or above ({basis})"
        )
    if thermal_expansion_gal == 0:
        return Worked(found.value, f"nothing expands, so {plain_up(found.value, SIZE)} gal", said)
    grown, air, supply = as_redone(
        lambda ve, pa, ps: plain_up(ve / (1 - (ps + pa) / (most + pa)), SIZE), plain_up(found.value, SIZE),
        Given(thermal_expansion_gal, GROWN, plain_up), Given(local_atmosphere_psia, AIR),
        Given(target, AIR, lambda value, places: clear_of(value, most, places=places)),
    )  # fmt: skip
    worked = f"{grown} / (1 - ({supply} + {air}) / ({plain(most)} + {air})) = {plain_up(found.value, SIZE)} gal, rounded up"
    return Worked(found.value, worked, said)


@figure(
    "psi", "0.1", "P = Pc Vt / (Vt Pc / P0 - Ve), P0 = max(Ps, Pc), absolute", _BOYLE, when=STORAGE & TANK, up=True,
)  # fmt: skip
def peak_pressure_psi(
    thermal_expansion_gal: Gallon, expansion_tank_gal: Gallon, precharge_psi: Psi, precharge_target_psi: Psi, local_atmosphere_psia: Psi,
    expansion_acceptance_gal: Gallon | None = None, relief_pressure_psi: Psi | None = None, precharge_installed_psi: Psi | None = None,
) -> Worked:  # fmt: skip
    return _peak(
        thermal_expansion_gal,
        expansion_tank_gal,
        _charge(precharge_psi, precharge_installed_psi),
        precharge_target_psi,
        local_atmosphere_psia,
        expansion_acceptance_gal,
        relief_pressure_psi,
    )


@figure(
    "psi", "0.1", "the same with the tank charged to the house pressure: Pc = Ps", _BOYLE, when=STORAGE & TANK, up=True,
)  # fmt: skip
def peak_pressure_as_recommended_psi(
    thermal_expansion_gal: Gallon, expansion_tank_gal: Gallon, precharge_target_psi: Psi, local_atmosphere_psia: Psi,
    expansion_acceptance_gal: Gallon | None = None, relief_pressure_psi: Psi | None = None,
) -> Worked:  # fmt: skip
    target = precharge_target_psi
    return _peak(
        thermal_expansion_gal, expansion_tank_gal, Given(target, AIR), target, local_atmosphere_psia, expansion_acceptance_gal,
        relief_pressure_psi,
    )  # fmt: skip


def _charge(read: Decimal, where_it_hangs: Decimal | None) -> Given:
    """The air charge as the gauge read it, or as its figure prints it for the air where the tank hangs."""
    return Given(read, AIR) if where_it_hangs is None else Given(where_it_hangs, PRESSURE)


def _high(charge: Given, supply: Decimal) -> Given:
    return charge if charge.value >= supply else Given(supply, AIR)


def _peak(
    grown: Decimal,
    tank: Decimal,
    charge: Given,
    supply: Decimal,
    air: Decimal,
    holds: Decimal | None,
    relief: Decimal | None,
) -> Worked:
    found = expansion.peak_pressure(grown, tank, charge.value, supply, air, holds, relief)
    if found.value is None:
        return Worked(None, says=found.says)
    c, s, a, g = as_redone(
        lambda pc, ps, pa, ve: plain_up((pc + pa) * tank / (tank * (pc + pa) / (ps + pa) - ve) - pa, PRESSURE),
        plain_up(found.value, PRESSURE), charge, _high(charge, supply), Given(air, AIR), Given(grown, GROWN, plain_up),
    )  # fmt: skip
    worked = f"({c} + {a}) x {plain(tank, FINE)} / ({plain(tank, FINE)} x ({c} + {a}) / ({s} + {a}) - {g}) - {a} = {plain_up(found.value, PRESSURE)} psi"
    return Worked(found.value, worked, found.says)


@figure("gal", "0.001", "Vw = Vt (1 - Pc / P0) + Ve, absolute", _BOYLE, when=STORAGE & TANK, up=True)
def acceptance_used_gal(
    thermal_expansion_gal: Gallon, expansion_tank_gal: Gallon, precharge_psi: Psi, precharge_target_psi: Psi, local_atmosphere_psia: Psi,
    expansion_acceptance_gal: Gallon | None = None, precharge_installed_psi: Psi | None = None,
) -> Worked:  # fmt: skip
    charge = _charge(precharge_psi, precharge_installed_psi)
    found = expansion.acceptance_used(
        thermal_expansion_gal,
        expansion_tank_gal,
        charge.value,
        precharge_target_psi,
        local_atmosphere_psia,
        expansion_acceptance_gal,
    )
    if found.value is None:
        return Worked(None, says=found.says)
    set_to, high, air, grown = as_redone(
        lambda pc, ps, pa, ve: plain_up(expansion_tank_gal * (1 - (pc + pa) / (ps + pa)) + ve, GROWN), plain_up(found.value, GROWN),
        charge, _high(charge, precharge_target_psi), Given(local_atmosphere_psia, AIR), Given(thermal_expansion_gal, GROWN, plain_up),
    )  # fmt: skip
    worked = f"{plain(expansion_tank_gal, FINE)} x (1 - ({set_to} + {air}) / ({high} + {air})) + {grown} = {plain_up(found.value, GROWN)} gal"
    return Worked(found.value, worked, found.says)
