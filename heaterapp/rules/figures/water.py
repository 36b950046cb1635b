"""Figures of water, its pressure and how it expands; the tank that takes it up is in `expansion`."""

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

GROWN, SIZE, PRESSURE, TYPED, FINE = 3, 1, 1, 3, 6
"""To how many places the figures print the water that expands, a tank's size, a pressure; and what was typed, or not rounded."""
VALVE_FIRST = "The reducing valve that is asked for closes the system: size the tank for the pressure that it is set to."
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
    clauses=("supply.pressure_limit", "expansion.advised_limit"),
    told=True,
)
def precharge_target_psi(
    house_pressure_psi: Psi | None = None,
    prv_fitted: bool | None = None,
    prv_setting_psi: Psi | None = None,
    street_pressure_psi: Psi | None = None,
    *,
    limit: Psi | None = None,
    advised_limit: Psi | None = None,
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
    edges = tuple(one for one in (limit, advised_limit) if one is not None)
    shown = clear_of(target, *edges, places=TYPED)
    value = Decimal(shown.replace(",", ""))
    return Worked(value, f"{basis}: {shown} psi", says, unsettled=over, edges=edges)


@figure(
    "psi",
    "0.1",
    "Pc2 = (Pc1 + Pa) (T2 + 459.67) / (T1 + 459.67) - Pa",
    "Gay-Lussac's law, water side empty",
    when=TANK,
    told=True,
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
    # what a gauge is set to, and no finer than its limits ask
    edges = precharge_target_psi.edges
    shown = clear_of(value, *edges, places=PRESSURE)
    gauge, there = Decimal(shown.replace(",", "")), plain(target, FINE)
    if precharge_target_psi.unsettled:
        return Worked(gauge, says=expansion.REDUCE_FIRST, unsettled=True, edges=edges)
    if precharge_air_f == installed_air_f:
        said = f"What the gauge should read at {plain(precharge_air_f)} F."
        return Worked(target, f"set where it hangs: {there} psi", said, edges=edges)
    worked = _at_another_air(target, local_atmosphere_psia, precharge_air_f, installed_air_f, shown)
    says = f"What the gauge should read at {plain(precharge_air_f)} F, to be {there} psi at {plain(installed_air_f)} F where the tank hangs."
    return Worked(gauge, worked, says, edges=edges)


def _at_another_air(charge: Decimal, air: Decimal, to_f: Decimal, from_f: Decimal, shown: str) -> str:
    places = max(PRESSURE, len(shown.partition(".")[2]))
    read, to, was = as_redone(
        lambda pc, to, was: plain(expansion.precharge_at_air(pc, was, to, air), places), shown,
        *(Given(one, TYPED) for one in (charge, to_f, from_f)),
    )  # fmt: skip
    return f"({read} + {plain(air)}) x ({to} + 459.67) / ({was} + 459.67) - {plain(air)} = {shown} psi"


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
    shown = plain(value, PRESSURE)
    worked = _at_another_air(precharge_psi, local_atmosphere_psia, installed_air_f, precharge_air_f, shown)
    return Worked(value, worked, f"It read {plain(precharge_psi)} psi at {plain(precharge_air_f)} F; the tank hangs at {plain(installed_air_f)} F.")
