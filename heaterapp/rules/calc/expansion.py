"""Thermal expansion of stored water, and the tank that takes it.

One full heat-up with every tap shut, air in the tank at one temperature. Gas
arithmetic is in absolute pressure, gauge plus local atmosphere; arguments and
results are gauge pressures, only `atmosphere_psia` is absolute.

Source of the tank equations: Boyle's law; the form for a charge that differs
from the supply is the one of a well-tank article (The Driller, February 2006),
and with charge = supply it is the diaphragm-tank equation of the ASHRAE handbook
HVAC Systems and Equipment (2000 edition, chapter 12, read in a reproduction).
"""

from __future__ import annotations

from dataclasses import dataclass
from decimal import Decimal

from .exact import exactly, within
from .water import COLDEST_F, HOTTEST_F, density

NO_SIZE_MEETS_THE_LIMIT = "no size meets the limit"
TANK_CANNOT_HOLD_IT = "tank cannot hold it"
RELIEF_VALVE_OPENS = "relief valve opens"
REDUCE_FIRST = "Over the limit: set the tank's air to the pressure after it is reduced, once measured."

ABSOLUTE_ZERO_F = Decimal("-459.67")
NOTHING = Decimal(0)
HIGHEST_PSI = Decimal(1000)
FAINTEST_PSIA = Decimal(1)
SMALLEST_GAL = Decimal("0.001")
LARGEST_GAL = Decimal(100000)


@dataclass(frozen=True, slots=True)
class Result:
    """A number, or none and why; `says` may also qualify a number that stands."""

    value: Decimal | None
    says: str = ""


def _gauge(name: str, psig: Decimal) -> None:
    within(name, psig, NOTHING, HIGHEST_PSI, "psi")


def _gallons(name: str, gallons: Decimal) -> None:
    within(name, gallons, NOTHING, LARGEST_GAL, "gal")


def _atmosphere(psia: Decimal) -> None:
    within("atmosphere_psia", psia, Decimal(3), Decimal(26), "psia")


def _setting(precharge_psig: Decimal, supply_psig: Decimal, atmosphere_psia: Decimal) -> None:
    _atmosphere(atmosphere_psia)
    within("precharge_psig", precharge_psig, FAINTEST_PSIA - atmosphere_psia, HIGHEST_PSI, "psi")
    _gauge("supply_psig", supply_psig)


@exactly
def thermal_expansion(volume_gal: Decimal, cold_f: Decimal, hot_f: Decimal) -> Decimal:
    """Extra volume that stored water takes up when it is heated.

        Ve = V (rho_cold / rho_hot - 1)

    volume_gal  water in the heater, measured cold       [gal]   0 to 100,000
    cold_f      water coming in                          [degF]  32 to 212
    hot_f       highest temperature the water reaches    [degF]  cold_f to 212
    returns     extra volume, 0 or more, unrounded       [gal]

    Leaves out the growth of the steel (about a tenth of the answer, so the answer
    is on the safe side) and the water in the pipes. Between 32 and 39.2 degF water
    shrinks on warming; a heating that ends smaller than it began gives 0.
    Raises `ValueError` when hot_f is below cold_f or either is out of range.

    Source: ratio of specific volumes, as in the expansion-tank equations of the
    ASHRAE handbook HVAC Systems and Equipment; densities from `water.density`.
    Checked against: iapws 1.5.5 (IAPWS-IF97, one atmosphere), 40 to 70 degF up to
    110 to 180 degF: within 0.0011 percentage points of growth; an engineer's
    article (R. W. Griffith, 2015) that 40 to 140 degF is 1.7 percent: 1.706.

    >>> round(thermal_expansion(Decimal(50), Decimal(50), Decimal(120)), 3)
    Decimal('0.565')
    """
    _gallons("volume_gal", volume_gal)
    within("cold_f", cold_f, COLDEST_F, HOTTEST_F, "degF")
    within("hot_f", hot_f, cold_f, HOTTEST_F, "degF")
    return max(NOTHING, volume_gal * (density(cold_f) / density(hot_f) - 1))


@exactly
def acceptance_factor(
    precharge_psig: Decimal, supply_psig: Decimal, limit_psig: Decimal, atmosphere_psia: Decimal
) -> Decimal:
    """Share of a tank that takes up expansion before the pressure reaches a limit.

        f = Pc / P0 - Pc / Pm,  P0 = max(Ps, Pc),  all absolute
        with Pc = Ps:  f = 1 - Ps / Pm

    precharge_psig   air charge with no water in the tank    [psi gauge]  1 psi absolute to 1,000
    supply_psig      house pressure, cold                    [psi gauge]  0 to 1,000
    limit_psig       highest pressure allowed                [psi gauge]  0 to 1,000
    atmosphere_psia  air pressure at the site                [psia]       3 to 26
    returns          share, 0 to 1; 0 when the pressure is at the limit before the
                     tank takes anything; unrounded          [1]

    Under 0 is air set warm and hung cold. Leaves out what the maker lists. Source: the module's. Checked
    against: tank charged to 28, from 30 to 50 psi at sea level: the article prints 0.295, this gives 0.2953.

    >>> round(acceptance_factor(Decimal(28), Decimal(30), Decimal(50), Decimal("14.7")), 4)
    Decimal('0.2953')
    """
    _setting(precharge_psig, supply_psig, atmosphere_psia)
    _gauge("limit_psig", limit_psig)
    charge = precharge_psig + atmosphere_psia
    start = max(supply_psig, precharge_psig) + atmosphere_psia
    return max(NOTHING, charge / start - charge / (limit_psig + atmosphere_psia))


@exactly
def tank_needed(
    expansion_gal: Decimal,
    precharge_psig: Decimal,
    supply_psig: Decimal,
    limit_psig: Decimal,
    atmosphere_psia: Decimal,
) -> Result:
    """Smallest total tank volume that keeps the pressure within a limit.

        Vt = Ve / f

    expansion_gal    extra volume to take up         [gal]        0 to 100,000
    precharge_psig, supply_psig, limit_psig, atmosphere_psia: see `acceptance_factor`
    returns          total volume, unrounded [gal]; 0 when nothing expands; no value
                     and "no size meets the limit" when the pressure is at the limit
                     before the tank takes anything, or the supply is over it

    Leaves out the acceptance a maker lists: compare it with `acceptance_used`.

    Source: the module's. Checked against: `peak_pressure` of a tank of this size is
    the limit, within 1e-12 psi.

    >>> ve = thermal_expansion(Decimal(50), Decimal(50), Decimal(140))
    >>> sea = Decimal("14.696")
    >>> round(tank_needed(ve, Decimal(60), Decimal(60), Decimal(80), sea).value, 2)
    Decimal('3.97')
    >>> tank_needed(ve, Decimal(80), Decimal(80), Decimal(80), sea)
    Result(value=None, says='no size meets the limit')
    """
    _gallons("expansion_gal", expansion_gal)
    factor = acceptance_factor(precharge_psig, supply_psig, limit_psig, atmosphere_psia)
    if expansion_gal == 0 and supply_psig <= limit_psig:
        return Result(NOTHING)
    if factor == 0:
        return Result(None, NO_SIZE_MEETS_THE_LIMIT)
    return Result(expansion_gal / factor)


@exactly
def water_in_tank_cold(
    tank_gal: Decimal, precharge_psig: Decimal, supply_psig: Decimal, atmosphere_psia: Decimal
) -> Decimal:
    """Water that stands in the tank before anything is heated.

        Vw0 = Vt (1 - Pc / P0),  P0 = max(Ps, Pc),  absolute

    tank_gal         total volume of the tank                [gal]        0.001 to 100,000
    precharge_psig, supply_psig, atmosphere_psia: see `acceptance_factor`
    returns          water, 0 when charged to the supply or over, unrounded   [gal]

    Source: the module's. Checked against: a 2 gal tank left at 40 psi on 60 psi
    holds 0.536 gal cold, by hand.

    >>> round(water_in_tank_cold(Decimal(2), Decimal(40), Decimal(60), Decimal("14.696")), 3)
    Decimal('0.536')
    """
    within("tank_gal", tank_gal, SMALLEST_GAL, LARGEST_GAL, "gal")
    _setting(precharge_psig, supply_psig, atmosphere_psia)
    start = max(supply_psig, precharge_psig) + atmosphere_psia
    return tank_gal * (1 - (precharge_psig + atmosphere_psia) / start)


@exactly
def acceptance_used(
    expansion_gal: Decimal,
    tank_gal: Decimal,
    precharge_psig: Decimal,
    supply_psig: Decimal,
    atmosphere_psia: Decimal,
    acceptance_gal: Decimal | None = None,
) -> Result:
    """Water in the tank when everything is hot.

        Vw = Vw0 + Ve;  it fits when Vw <= A and Vw < Vt

    expansion_gal    extra volume to take up                      [gal]  0 to 100,000
    tank_gal         total volume of the tank                     [gal]  0.001 to 100,000
    precharge_psig, supply_psig, atmosphere_psia: see `acceptance_factor`
    acceptance_gal   most water the maker lists, None if unlisted [gal]  0 to 100,000
    returns          water, unrounded [gal]; no value and "tank cannot hold it" when
                     it does not fit

    Source: the module's. Checked against: a calculation by hand.

    >>> acceptance_used(Decimal("0.5"), Decimal(2), Decimal(60), Decimal(60), Decimal("14.696"),
    ...     acceptance_gal=Decimal("0.4"))
    Result(value=None, says='tank cannot hold it')
    """
    _gallons("expansion_gal", expansion_gal)
    water = water_in_tank_cold(tank_gal, precharge_psig, supply_psig, atmosphere_psia)
    water += expansion_gal
    if acceptance_gal is not None:
        _gallons("acceptance_gal", acceptance_gal)
    if water >= tank_gal or (acceptance_gal is not None and water > acceptance_gal):
        return Result(None, TANK_CANNOT_HOLD_IT)
    return Result(water)


@exactly
def peak_pressure(
    expansion_gal: Decimal,
    tank_gal: Decimal,
    precharge_psig: Decimal,
    supply_psig: Decimal,
    atmosphere_psia: Decimal,
    acceptance_gal: Decimal | None = None,
    relief_psig: Decimal | None = None,
) -> Result:
    """Pressure when everything is hot, with the tank as it is set.

        P = Pc Vt / (Vt Pc / P0 - Ve),  P0 = max(Ps, Pc),  all absolute
        with nothing expanding:  P = Ps

    expansion_gal, tank_gal, acceptance_gal: see `acceptance_used`
    precharge_psig, supply_psig, atmosphere_psia: see `acceptance_factor`
    relief_psig      relief valve setting, None if not known      [psi gauge]  0 to 1,000
    returns          pressure, unrounded [psi gauge]; with "relief valve opens" when it
                     is above the setting (the pressure then stays at the setting); no
                     value and "tank cannot hold it" when the water does not fit

    A charge above the supply takes nothing until the pressure has run up to it, which
    in a closed system the first bit of expansion does; so any expansion gives at
    least the charge. Leaves out draw-off, leaks, the stretch of pipes and the growth
    of the steel: a cautious, high estimate.

    Source: the module's. Checked against: a trade article's heater of 75 gal at 70
    psi whose relief valve dripped with a 2 gal tank and stopped with 4.5 gal: 214 and
    103 psi here.

    >>> ve = thermal_expansion(Decimal(50), Decimal(50), Decimal(140))
    >>> sea, relief = Decimal("14.696"), Decimal(150)
    >>> peak = peak_pressure(ve, Decimal(2), Decimal(40), Decimal(60), sea, relief_psig=relief)
    >>> round(peak.value, 1), peak.says
    (Decimal('160.2'), 'relief valve opens')
    """
    water = acceptance_used(
        expansion_gal, tank_gal, precharge_psig, supply_psig, atmosphere_psia, acceptance_gal
    )
    if relief_psig is not None:
        _gauge("relief_psig", relief_psig)
    if water.value is None:
        return water
    if expansion_gal == 0:
        peak = supply_psig
    else:
        charge = precharge_psig + atmosphere_psia
        peak = charge * tank_gal / (tank_gal - water.value) - atmosphere_psia
    if relief_psig is not None and peak > relief_psig:
        return Result(peak, RELIEF_VALVE_OPENS)
    return Result(peak)


@exactly
def precharge_at_air(
    precharge_psig: Decimal, set_air_f: Decimal, other_air_f: Decimal, atmosphere_psia: Decimal
) -> Decimal:
    """What a charge reads when the air in the tank is at another temperature.

        P2 = (P1 + Pa) (T2 + 459.67) / (T1 + 459.67) - Pa

    precharge_psig   charge at the first temperature         [psi gauge]  0 to 1,000
    set_air_f        first air temperature                   [degF]       -60 to 200
    other_air_f      second air temperature                  [degF]       -60 to 200
    atmosphere_psia  air pressure at the site                [psia]       3 to 26
    returns          charge at the second, unrounded; under 0 from a charge near 0  [psi gauge]

    Holds with the water side empty, so that the air keeps its volume.

    Source: Gay-Lussac's law. Checked against: 60 psi set at 70 degF reads 55.8 at 40
    and 64.2 at 100 degF; a published exercise, 33 absolute from 17 to 46 degC: 36.30.

    >>> round(precharge_at_air(Decimal(60), Decimal(70), Decimal(40), Decimal("14.696")), 1)
    Decimal('55.8')
    """
    _gauge("precharge_psig", precharge_psig)
    for name, air in (("set_air_f", set_air_f), ("other_air_f", other_air_f)):
        within(name, air, Decimal(-60), Decimal(200), "degF")
    _atmosphere(atmosphere_psia)
    warmth = (other_air_f - ABSOLUTE_ZERO_F) / (set_air_f - ABSOLUTE_ZERO_F)
    return (precharge_psig + atmosphere_psia) * warmth - atmosphere_psia
