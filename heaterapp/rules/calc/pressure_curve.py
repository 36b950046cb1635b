"""Pressure against water temperature while a closed system heats up, for drawing."""

from __future__ import annotations

from decimal import Decimal
from typing import NamedTuple

from .exact import exactly, within
from .expansion import (
    HIGHEST_PSI,
    LARGEST_GAL,
    NOTHING,
    acceptance_factor,
    peak_pressure,
    thermal_expansion,
    water_in_tank_cold,
)

HALVINGS = 40


class CurvePoint(NamedTuple):
    water_f: Decimal
    pressure_psig: Decimal


@exactly
def temperature_when_expanded(
    volume_gal: Decimal, cold_f: Decimal, hot_f: Decimal, expansion_gal: Decimal
) -> Decimal:
    """Water temperature at which stored water has grown by a given volume.

        the T between cold and hot with V (rho_cold / rho(T) - 1) = Ve, by halving

    volume_gal     water in the heater, measured cold   [gal]   0 to 100,000
    cold_f, hot_f  ends of the search, see `thermal_expansion`   [degF]
    expansion_gal  growth looked for                    [gal]   0 to 100,000
    returns        temperature, within 1e-9 degF        [degF]; hot_f when the water
                   never grows that much on the way

    Source: `thermal_expansion`, turned round. Checked against: that function at the
    answer gives the volume back within 1e-9 gal for 50 gal.

    >>> ve = thermal_expansion(Decimal(50), Decimal(50), Decimal(120))
    >>> round(temperature_when_expanded(Decimal(50), Decimal(50), Decimal(140), ve), 6)
    Decimal('120.000000')
    """
    within("expansion_gal", expansion_gal, NOTHING, LARGEST_GAL, "gal")
    if thermal_expansion(volume_gal, cold_f, hot_f) <= expansion_gal:
        return hot_f
    low, high = cold_f, hot_f
    for _ in range(HALVINGS):
        middle = (low + high) / 2
        if thermal_expansion(volume_gal, cold_f, middle) <= expansion_gal:
            low = middle
        else:
            high = middle
    return low


@exactly
def pressure_curve(
    volume_gal: Decimal,
    cold_f: Decimal,
    hot_f: Decimal,
    supply_psig: Decimal,
    relief_psig: Decimal,
    atmosphere_psia: Decimal,
    tank_gal: Decimal | None = None,
    precharge_psig: Decimal | None = None,
    acceptance_gal: Decimal | None = None,
    steps: int = 24,
) -> tuple[CurvePoint, ...]:
    """Points of the line to draw, from cold to hot, never above the relief setting.

        with a tank:  P(T) = `peak_pressure` for the growth up to T, until it reaches
                      the relief setting or the tank is full; then the setting
        without one:  straight up to the relief setting at the cold temperature

    volume_gal, cold_f, hot_f: see `thermal_expansion`
    supply_psig      house pressure, cold                    [psi gauge]  0 to 1,000
    relief_psig      relief valve setting                    [psi gauge]  0 to 1,000
    atmosphere_psia  air pressure at the site                [psia]       3 to 26
    tank_gal, precharge_psig, acceptance_gal: the tank as set, see `peak_pressure`;
                     no tank when tank_gal is None
    steps            even steps of temperature               [count]      1 or more
    returns          points by rising temperature, unrounded; two at one temperature
                     are a line straight up

    What is drawn and not computed: the line straight up. Without a tank, or once it
    is full, only the squeeze of the water and the stretch of the metal are left to
    give way. In a vessel that does not stretch, going from 60 to 150 psi takes about
    0.03 percent of the volume, 5 degF of heating from 50 (iapws 1.5.5, IAPWS-IF97);
    real vessels and pipes stretch by amounts nobody has measured on the job, so no
    slope is claimed. A charge above the supply gives the same line up to the charge.
    Raises `ValueError` for a tank without its charge or fewer than one step.

    Source: the tank model of `expansion`. Checked against: `peak_pressure` at every
    point below the setting, exact.

    >>> def draw(*tank):
    ...     line = pressure_curve(*map(Decimal, (50, 50, 140, 60, 150, "14.696", *tank)), steps=1)
    ...     return [(round(at, 1), round(psi, 1)) for at, psi in line]
    >>> draw(2, 60)
    [(Decimal('50.0'), Decimal('60.0')), (Decimal('140.0'), Decimal('114.0'))]
    >>> draw()[:2]
    [(Decimal('50.0'), Decimal('60.0')), (Decimal('50.0'), Decimal('150.0'))]
    """
    if steps < 1:
        raise ValueError(f"steps must be 1 or more, not {steps}")
    within("supply_psig", supply_psig, NOTHING, HIGHEST_PSI, "psi")
    within("relief_psig", relief_psig, NOTHING, HIGHEST_PSI, "psi")
    cold = CurvePoint(cold_f, min(supply_psig, relief_psig))
    if thermal_expansion(volume_gal, cold_f, hot_f) == 0:
        return _line(cold, cold._replace(water_f=hot_f))
    # near freezing water shrinks first: the line stays flat until it grows
    begins_f = temperature_when_expanded(volume_gal, cold_f, hot_f, NOTHING)
    line = [cold, cold._replace(water_f=begins_f)]
    blown_off = CurvePoint(hot_f, relief_psig)
    if tank_gal is None:
        return _line(*line, CurvePoint(begins_f, relief_psig), blown_off)
    if precharge_psig is None:
        raise ValueError("precharge_psig must be given with tank_gal")

    room = tank_gal * acceptance_factor(precharge_psig, supply_psig, relief_psig, atmosphere_psia)
    if acceptance_gal is not None:
        cold_water = water_in_tank_cold(tank_gal, precharge_psig, supply_psig, atmosphere_psia)
        room = min(room, max(NOTHING, acceptance_gal - cold_water))
    full_f = temperature_when_expanded(volume_gal, cold_f, hot_f, room)
    takes_water_from = CurvePoint(begins_f, min(max(supply_psig, precharge_psig), relief_psig))
    line.append(takes_water_from)
    rise = hot_f - cold_f
    grid = [cold_f + rise * step / steps for step in range(1, steps)]
    for water_f in [at for at in grid if begins_f < at < full_f] + [full_f]:
        grown = thermal_expansion(volume_gal, cold_f, water_f)
        if grown > 0:
            peak = peak_pressure(grown, tank_gal, precharge_psig, supply_psig, atmosphere_psia).value
            line.append(CurvePoint(water_f, relief_psig if peak is None else min(peak, relief_psig)))
    if full_f < hot_f:
        line += [CurvePoint(full_f, relief_psig), blown_off]
    return _line(*line)


def _line(*points: CurvePoint) -> tuple[CurvePoint, ...]:
    return tuple(dict.fromkeys(points))
