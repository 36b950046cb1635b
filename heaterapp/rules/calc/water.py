"""Water: its temperature, its density, its weight."""

from __future__ import annotations

from decimal import Decimal
from functools import lru_cache

from .exact import exactly, not_negative, within

COLDEST_F = Decimal(32)
HOTTEST_F = Decimal(212)

# Kell (1975), equation 16. The last one is often copied with two digits swapped
# (16.8978...), which overstates expansion by about 2.3 percent of its value.
NUMERATOR = (
    Decimal("999.83952"),
    Decimal("16.945176"),
    Decimal("-7.9870401e-3"),
    Decimal("-46.170461e-6"),
    Decimal("105.56302e-9"),
    Decimal("-280.54253e-12"),
)
DENOMINATOR = Decimal("16.879850e-3")

# 1 lb/ft3 = 0.45359237 kg / (0.3048 m)^3, both defined.
KG_PER_LB = Decimal("0.45359237")
M3_PER_FT3 = Decimal("0.028316846592")


@exactly
def celsius(fahrenheit: Decimal) -> Decimal:
    """Temperature on the Celsius scale.

        C = (F - 32) x 5 / 9

    fahrenheit  temperature                        [degF]  any
    returns     the same temperature, unrounded    [degC]

    Source: the definition of the degree Fahrenheit. Checked against: freezing
    and boiling points, and -40 where the scales meet; exact.

    >>> celsius(Decimal(140))
    Decimal('60')
    """
    return (fahrenheit - 32) * 5 / 9


@lru_cache(maxsize=1024)
@exactly
def density(water_f: Decimal) -> Decimal:
    """Density of liquid water under one atmosphere.

        rho = (a0 + a1 t + a2 t^2 + a3 t^3 + a4 t^4 + a5 t^5) / (1 + b t),  t in degC

    water_f  water temperature     [degF]  32 to 212
    returns  density, unrounded    [kg/m3]

    Leaves out the squeeze of the house pressure (60 psi makes water denser by
    about 0.02 percent, hot and cold alike: 50 to 140 degF grows by 1.679 percent
    instead of 1.677), dissolved minerals, and the difference between the
    temperature scales of 1968 and 1990 (under 0.03 K here).
    Raises `ValueError` outside 32 to 212 degF.

    Source: G. S. Kell, J. Chem. Eng. Data 20 (1975) 97, equation 16, stated for 0
    to 150 degC; coefficients read in two independent public reproductions.
    Checked against: the open library iapws 1.5.5 (IAPWS-IF97, one atmosphere), 40
    to 180 degF in steps of 5: within 12.1 parts in a million; CRC Handbook, 53rd
    edition, page F-4, 4.0 and 10.0 degC: within 2 parts in a million.

    >>> round(density(Decimal(68)), 2)
    Decimal('998.20')
    """
    within("water_f", water_f, COLDEST_F, HOTTEST_F, "degF")
    # normalized: 50 and 50.0 share one cached answer, so they must share its digits
    t = (water_f.normalize() - 32) * 5 / 9
    rho = Decimal(0)
    for coefficient in reversed(NUMERATOR):
        rho = rho * t + coefficient
    return rho / (1 + DENOMINATOR * t)


@exactly
def pounds_per_cubic_foot(kg_per_m3: Decimal) -> Decimal:
    """A density in the unit of the American tables.

        lb/ft3 = kg/m3 x 0.3048^3 / 0.45359237

    kg_per_m3  density                      [kg/m3]  0 or more
    returns    the same density, unrounded  [lb/ft3]

    Source: the international pound and foot (1959), both defined exactly.
    Checked against: 1 lb/ft3 = 16.018463373960138 kg/m3 to every digit, and a
    printed table of water densities at 60 and 100 degF, within 0.01 lb/ft3.

    >>> round(pounds_per_cubic_foot(density(Decimal(60))), 2)
    Decimal('62.37')
    """
    not_negative(kg_per_m3=kg_per_m3)
    return kg_per_m3 * M3_PER_FT3 / KG_PER_LB


@exactly
def operating_weight(dry_weight_lb: Decimal, storage_gal: Decimal, water_lb_per_gal: Decimal) -> Decimal:
    """Weight of a heater full of water.

        W = W_dry + V x w

    dry_weight_lb     heater empty, from its plate or sheet       [lb]      0 or more
    storage_gal       water it holds                              [gal]     0 or more
    water_lb_per_gal  weight of a gallon; 8.33 is the usual one   [lb/gal]  8 to 8.5
    returns           weight in service, unrounded                [lb]

    Leaves out pipes, the expansion tank and the pan. 8.33 is cold water rounded
    down a little (8.34 at 50 degF by `density`); hot water weighs less.

    Source: a sum. Checked against: a pocket calculator.

    >>> operating_weight(Decimal(150), Decimal(50), Decimal("8.33"))
    Decimal('566.50')
    """
    not_negative(dry_weight_lb=dry_weight_lb, storage_gal=storage_gal)
    within("water_lb_per_gal", water_lb_per_gal, Decimal(8), Decimal("8.5"), "lb/gal")
    return dry_weight_lb + storage_gal * water_lb_per_gal
