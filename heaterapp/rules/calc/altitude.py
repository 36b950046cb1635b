"""What height above the sea does to the air and to a burner."""

from __future__ import annotations

from decimal import Decimal
from functools import lru_cache

from .exact import exactly, not_negative, within

SEA_LEVEL_PSIA = Decimal("14.696")
LAPSE_PER_FT = Decimal("6.8754e-6")
EXPONENT = Decimal("5.2559")
LOWEST_FT = Decimal(-16500)
HIGHEST_FT = Decimal(36000)


@lru_cache(maxsize=256)
@exactly
def atmosphere(elevation_ft: Decimal) -> Decimal:
    """Pressure of the air in the standard atmosphere.

        Pa = 14.696 x (1 - 6.8754e-6 Z)^5.2559

    elevation_ft  height above the sea              [ft]  -16,500 to 36,000
    returns       absolute air pressure, unrounded  [psia]

    Leaves out the weather, which moves it by about 0.5 psi either way.
    Raises `ValueError` outside the range, where the formula does not hold.

    Source: U.S. Standard Atmosphere 1976, troposphere, as printed in the
    psychrometrics chapter of the ASHRAE Fundamentals handbook; read in two
    reproductions. Checked against: that chapter's table 1 at 1,000, 3,000 and
    5,000 ft, within 0.003 psi (the table does not sit exactly on its own formula).

    >>> round(atmosphere(Decimal(5000)), 3)
    Decimal('12.228')
    """
    within("elevation_ft", elevation_ft, LOWEST_FT, HIGHEST_FT, "ft")
    ratio = 1 - LAPSE_PER_FT * elevation_ft.normalize()
    # exp and ln are correctly rounded everywhere; the power operator need not be
    return SEA_LEVEL_PSIA * (EXPONENT * ratio.ln()).exp()


@exactly
def rated_input(
    rated_btuh: Decimal,
    elevation_ft: Decimal,
    reduction_per_1000_ft: Decimal,
    unchanged_to_ft: Decimal,
) -> Decimal:
    """Input a gas heater is rated for at a height, by a reduction counted from the sea.

        Q = Q0                            up to the threshold
        Q = Q0 x (1 - r x Z / 1000)       above it; a step at the threshold

    rated_btuh             input on the plate                        [Btu/h]  0 or more
    elevation_ft           height above the sea                      [ft]     -16,500 to 36,000
    reduction_per_1000_ft  share lost in each 1,000 ft above the sea [1]      0 to 1
    unchanged_to_ft        the plate stands up to here, included     [ft]     any
    returns                rated input there, unrounded              [Btu/h]

    Leaves out the gas itself (often leaner at height) and the maker's own
    instruction, which governs where there is one.
    Raises `ValueError` where the rule would leave no input at all.

    Source: the fuel gas code's general rule, whose numbers the caller brings.
    Checked against: 4 percent above 2,000 ft gives 0.90, 0.7888 and 0.72 at
    2,500, 5,280 and 7,000 ft; exact.

    >>> rated_input(Decimal(40000), Decimal(5280), Decimal("0.04"), Decimal(2000))
    Decimal('31552.0000')
    """
    not_negative(rated_btuh=rated_btuh)
    within("elevation_ft", elevation_ft, LOWEST_FT, HIGHEST_FT, "ft")
    within("reduction_per_1000_ft", reduction_per_1000_ft, Decimal(0), Decimal(1), "of the rating")
    if elevation_ft <= unchanged_to_ft:
        return rated_btuh
    factor = 1 - reduction_per_1000_ft * elevation_ft / 1000
    if factor <= 0:
        raise ValueError(f"elevation_ft {elevation_ft} is past the end of this reduction rule")
    # a threshold under the sea must not turn the reduction into a gain
    return rated_btuh * min(factor, Decimal(1))
