"""Figures of water, pressure and expansion."""

from __future__ import annotations

from ..calc import altitude, expansion
from ..figure import figure
from ..questions.plate import STORAGE
from ..report import Worked
from ..units import DegF, Foot, Gallon, plain


@figure("psi", "0.001", "Pa = 14.696 (1 - 6.8754e-6 Z)^5.2559", "US Standard Atmosphere 1976, troposphere")
def local_atmosphere_psia(elevation_ft: Foot) -> Worked:
    value = altitude.atmosphere(elevation_ft)
    return Worked(value, f"14.696 x (1 - 6.8754e-6 x {plain(elevation_ft)})^5.2559 = {plain(value)} psia")


@figure("gal", "0.001", "Ve = V (density cold / density hot - 1)", "ratio of specific volumes, densities by Kell 1975", when=STORAGE)
def thermal_expansion_gal(storage_gal: Gallon, thermostat_f: DegF, cold_inlet_f: DegF, extra_hot_volume_gal: Gallon) -> Worked:
    volume = storage_gal + extra_hot_volume_gal
    value = expansion.thermal_expansion(volume, cold_inlet_f, thermostat_f)
    return Worked(value, f"{plain(volume)} gal from {plain(cold_inlet_f)} to {plain(thermostat_f)} F = {plain(value)} gal")
