"""Areas of vents, and length and slope of their connectors.

Capacities come from printed tables and are not here.
"""

from __future__ import annotations

from collections.abc import Iterable
from decimal import Decimal

from .angles import PI
from .exact import exactly, not_negative, positive, within


@exactly
def circle_area(diameter_in: Decimal) -> Decimal:
    """Area of a round vent.

        A = pi D^2 / 4

    diameter_in  D, inside          [in]   more than 0
    returns      area, good to 27 digits  [in2]

    Source: geometry. Checked against: 3 to 12 in., the areas a gas code's sizing
    examples need; to the printed 0.01. Appendix B of the IFGC (2012) takes 12.2 for a
    4 in. circle in one example; this gives 12.57, so an area rule comes out 3 percent
    looser.

    >>> circle_area(Decimal(4)).quantize(Decimal("0.01"))
    Decimal('12.57')
    """
    positive(diameter_in=diameter_in)
    return _circle(diameter_in * diameter_in)


def _circle(square_in2: Decimal) -> Decimal:
    """The one product with pi, so that equal sums of squares are equal areas."""
    return PI * square_in2 / 4


@exactly
def circle_ratio(vent_diameter_in: Decimal, outlet_diameter_in: Decimal) -> Decimal:
    """Area of a round vent over the area of a round outlet.

        A_vent / A_outlet = (D / d)^2

    vent_diameter_in    D                            [in]  more than 0
    outlet_diameter_in  d                            [in]  more than 0
    returns             ratio; pi is not in it, so a limit is met exactly  [-]

    Source: geometry. Checked against: hand.

    >>> circle_ratio(Decimal(6), Decimal(3))
    Decimal('4')
    """
    positive(vent_diameter_in=vent_diameter_in, outlet_diameter_in=outlet_diameter_in)
    return vent_diameter_in * vent_diameter_in / (outlet_diameter_in * outlet_diameter_in)


@exactly
def flue_ratio(flue_area_in2: Decimal, outlet_diameter_in: Decimal) -> Decimal:
    """Area of a masonry flue over the area of a round outlet.

        A_flue / (pi d^2 / 4)

    flue_area_in2       clear area of the flue  [in2]  more than 0
    outlet_diameter_in  d                       [in]   more than 0
    returns             ratio, to 28 digits     [-]

    Source: geometry. Checked against: an 8 x 12 in. tile of 63.6 in2 over 4 and 3 in.
    hoods, which fall on the two sides of 7.

    >>> flue_ratio(Decimal("63.6"), Decimal(3)).quantize(Decimal("0.01"))
    Decimal('9.00')
    """
    positive(flue_area_in2=flue_area_in2)
    return flue_area_in2 / circle_area(outlet_diameter_in)


@exactly
def shared_area_needed(larger_outlet_in: Decimal, other_outlet_in: Decimal, share: Decimal) -> Decimal:
    """Least area of one vent for two draft hoods by the area rule.

        A = A_larger + share x A_smaller

    larger_outlet_in, other_outlet_in  in either order         [in]  more than 0
    share                              of the smaller one; 0.5 [-]   0 to 1
    returns                            area, to 28 digits      [in2]

    Leaves out fan-assisted appliances and more than one storey, for which the rule is
    not written.

    Source: 2012 UPC 509.6.3.1; New York City Fuel Gas Code 2022, 503.6.9.1. Checked
    against: 3 and 4 in. hoods need 16.10 in2; to the printed digits.

    >>> shared_area_needed(Decimal(3), Decimal(4), Decimal("0.5")).quantize(Decimal("0.01"))
    Decimal('16.10')

    Where the squares add up, so do the areas, exactly: 17^2 + 12^2 / 2 = 19^2.

    >>> shared_area_needed(Decimal(12), Decimal(17), Decimal("0.5")) == circle_area(Decimal(19))
    True
    """
    within("share", share, Decimal(0), Decimal(1), "of the smaller outlet")
    positive(larger_outlet_in=larger_outlet_in, other_outlet_in=other_outlet_in)
    small, large = sorted((larger_outlet_in, other_outlet_in))
    return _circle(large * large + share * small * small)


def smallest_size(area_in2: Decimal, sizes_in: Iterable[Decimal]) -> Decimal | None:
    """Smallest of the sizes made whose circle is at least an area; None if none is.

    area_in2  [in2]    sizes_in  diameters in any order [in]

    >>> smallest_size(Decimal("16.10"), [Decimal(n) for n in (3, 4, 5, 6)])
    Decimal('5')
    """
    return min((size for size in sizes_in if circle_area(size) >= area_in2), default=None)


def largest_size(area_in2: Decimal, sizes_in: Iterable[Decimal]) -> Decimal | None:
    """Largest of the sizes made whose circle is at most an area; None if none is.

    area_in2  [in2]    sizes_in  diameters in any order [in]

    >>> largest_size(Decimal("49.48"), [Decimal(n) for n in (5, 6, 7, 8)])
    Decimal('7')
    """
    return max((size for size in sizes_in if circle_area(size) <= area_in2), default=None)


@exactly
def connector_length_by_height(vent_height_ft: Decimal, share: Decimal) -> Decimal:
    """Longest horizontal run of a connector to a vent that serves one appliance.

        L = share x H

    vent_height_ft  H, hood or collar to the outlet                     [ft]  more than 0
    share           0.75 for single wall, 1 for Type B                  [-]   more than 0
    returns         length, unrounded                                   [ft]

    Source: 2012 UPC 509.10.7; New York City Fuel Gas Code 2022, 503.10.8. Checked
    against: hand.

    >>> connector_length_by_height(Decimal(10), Decimal("0.75"))
    Decimal('7.50')
    """
    positive(vent_height_ft=vent_height_ft, share=share)
    return share * vent_height_ft


@exactly
def connector_length_by_diameter(diameter_in: Decimal, ft_per_in: Decimal) -> Decimal:
    """Longest horizontal run of a connector to a shared vent, before any reduction.

        L = k D

    diameter_in  D                       [in]     more than 0
    ft_per_in    k; 1.5                  [ft/in]  more than 0
    returns      length, unrounded       [ft]

    Source: 2012 UPC Table 510.2.1; IRC 2018 G2428.3.2. Checked against: the nine rows
    of that table; exact.

    >>> connector_length_by_diameter(Decimal(3), Decimal("1.5"))
    Decimal('4.5')
    """
    positive(diameter_in=diameter_in, ft_per_in=ft_per_in)
    return ft_per_in * diameter_in


@exactly
def rise_needed(length_ft: Decimal, in_per_ft: Decimal) -> Decimal:
    """Gain in height a connector needs over its horizontal run.

        rise = slope x length

    length_ft  horizontal run                     [ft]     0 or more
    in_per_ft  slope; 1/4                         [in/ft]  0 or more
    returns    rise, unrounded; compare it with the rise measured, so that a run of
               nothing needs nothing              [in]

    Source: 2012 UPC 509.10.6; New York City Fuel Gas Code 2022, 503.10.7. Checked
    against: hand.

    >>> rise_needed(Decimal(6), Decimal("0.25"))
    Decimal('1.50')
    """
    not_negative(length_ft=length_ft, in_per_ft=in_per_ft)
    return in_per_ft * length_ft
