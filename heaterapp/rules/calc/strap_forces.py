"""What an earthquake asks of straps: force, share of each strap, pull on each anchor.

Seen from above the wall is a line, the tank a circle before it; a strap goes round
the front and its two legs leave the tank as tangents towards the anchors.
"""

from __future__ import annotations

from collections.abc import Sequence
from decimal import Decimal
from itertools import pairwise
from typing import NamedTuple

from .angles import arctangent_deg, sine_of_deg
from .exact import exactly, not_negative, positive


class Splay(NamedTuple):
    """One strap seen from above."""

    axis_from_wall_in: Decimal
    anchor_from_axis_in: Decimal
    leg_in: Decimal
    sine: Decimal
    cosine: Decimal


class StrapLoad(NamedTuple):
    """What one strap and each of its two anchors carry."""

    leg_tension_lb: Decimal
    anchor_pull_lb: Decimal
    anchor_along_wall_lb: Decimal


@exactly
def strap_force(operating_weight_lb: Decimal, parts: Decimal, of_parts: Decimal) -> Decimal:
    """Sideways force as a share of the weight, in any direction.

        F = W x parts / of_parts

    operating_weight_lb  heater full of water          [lb]  0 or more
    parts, of_parts      the share: 1 and 3 for a third [-]   parts 0 or more, of_parts more than 0
    returns              force, unrounded              [lb]

    Leaves out whether the force is at strength or at allowable level; the text does
    not say, so it is set against allowable values as it stands, on the safe side.

    Source: a third of the operating weight, IRC 2006 P2801.7 as quoted at
    inspectionnews.net t-4757; WAC 51-51-1307. Checked against: four heaters
    worked separately; to 0.01 lb.

    >>> strap_force(Decimal("453.2"), Decimal(1), Decimal(3)).quantize(Decimal("0.01"))
    Decimal('151.07')
    """
    not_negative(operating_weight_lb=operating_weight_lb, parts=parts)
    positive(of_parts=of_parts)
    return operating_weight_lb * parts / of_parts


@exactly
def mass_height(tank_base_in: Decimal, tank_height_in: Decimal) -> Decimal:
    """Height of a full tank's centre of mass above the floor.

        hc = B + H / 2

    tank_base_in    bottom of the jacket above the floor  [in]  0 or more
    tank_height_in  jacket alone                          [in]  more than 0
    returns         height from the floor, unrounded      [in]

    Source: a full tank is taken as even from end to end. Checked against: hand.

    >>> mass_height(Decimal(18), Decimal(58))
    Decimal('47')
    """
    not_negative(tank_base_in=tank_base_in)
    positive(tank_height_in=tank_height_in)
    return tank_base_in + tank_height_in / 2


@exactly
def strap_reactions(
    force_lb: Decimal, mass_height_in: Decimal, strap_heights_in: Sequence[Decimal]
) -> tuple[Decimal, ...]:
    """Share of the force that each strap carries, lowest strap first.

        Q_top = F (hc - h_low) / (h_top - h_low),   Q_low = F - Q_top

    force_lb          sideways force                             [lb]  0 or more
    mass_height_in    centre of mass, from the floor             [in]
    strap_heights_in  two or more, from the floor, lowest first  [in]
    returns           one reaction for each strap, unrounded     [lb]
    raises            ValueError for fewer than two straps or a height out of order

    A reaction under 0 means that the mass lies outside the two straps and that strap
    is pushed the other way: see `straddles`. More than two straps on a stiff tank
    cannot be shared by statics alone: the outer two are given all, the others 0,
    which is on the safe side for the outer two. Leaves out any help from the floor.

    Source: balance of forces and moments, own derivation. Checked against: four
    heaters worked separately, to 0.01 lb, and moments about the floor.

    >>> [str(q) for q in strap_reactions(Decimal(90), Decimal(30), [Decimal(20), Decimal(50)])]
    ['60', '30']
    """
    not_negative(force_lb=force_lb)
    if len(strap_heights_in) < 2:
        raise ValueError("strap_heights_in must have two heights or more")
    low, top = strap_heights_in[0], strap_heights_in[-1]
    if not all(below <= above for below, above in pairwise(strap_heights_in)) or not low < top:
        raise ValueError("strap_heights_in must rise from the lowest strap to the highest")
    upper = force_lb * (mass_height_in - low) / (top - low)
    between = (Decimal(0),) * (len(strap_heights_in) - 2)
    return (force_lb - upper, *between, upper)


def straddles(mass_height_in: Decimal, strap_heights_in: Sequence[Decimal]) -> bool:
    """Whether the centre of mass lies between the lowest and the highest strap.

    Outside them one reaction is reversed and the two straps lever against each
    other. mass_height_in and strap_heights_in from the floor [in], lowest strap first.

    >>> straddles(Decimal(30), [Decimal(35), Decimal(50)])
    False
    """
    return strap_heights_in[0] <= mass_height_in <= strap_heights_in[-1]


@exactly
def splay(tank_diameter_in: Decimal, wall_gap_in: Decimal, anchor_spacing_in: Decimal) -> Splay:
    """How a strap's legs run from the tank to its two anchors, seen from above.

        c = R + g,  d = sqrt((s/2)^2 + c^2),  L = sqrt(d^2 - R^2)
        phi = alpha - beta,  sin alpha = (s/2)/d,  sin beta = R/d
        sin phi = ((s/2) L - c R) / d^2,  cos phi = (c L + (s/2) R) / d^2

    tank_diameter_in   2 R                                            [in]  more than 0
    wall_gap_in        g, from the back of the tank to the wall       [in]  0 or more
    anchor_spacing_in  s, between the two anchors of one strap        [in]  more than 0
    returns            c, d, L [in], sine and cosine of the splay phi, unrounded

    Splay is measured from the wall's normal: over 0 where the anchors stand wider
    than the tank, exactly 0 at s = 2 R, under 0 where the legs tuck in behind it.

    Source: own derivation, a tangent from a point to a circle. Checked against: four
    heaters worked separately, to 0.001, and a numerical search for the tangent.

    >>> splay(Decimal(20), Decimal(2), Decimal(32)).anchor_from_axis_in
    Decimal('20')
    """
    positive(tank_diameter_in=tank_diameter_in, anchor_spacing_in=anchor_spacing_in)
    not_negative(wall_gap_in=wall_gap_in)
    radius, half = tank_diameter_in / 2, anchor_spacing_in / 2
    axis = radius + wall_gap_in
    squared = half * half + axis * axis
    # (s/2)^2 + g (g + 2 R) is d^2 - R^2 without taking a small difference of large squares
    leg = (half * half + wall_gap_in * (wall_gap_in + tank_diameter_in)).sqrt()
    return Splay(
        axis,
        squared.sqrt(),
        leg,
        (half * leg - axis * radius) / squared,
        (axis * leg + half * radius) / squared,
    )


@exactly
def splay_deg(legs: Splay) -> Decimal:
    """Splay of the legs as an angle.

        phi = atan(sin phi / cos phi)

    legs     from `splay`
    returns  angle from the wall's normal, to 28 digits  [deg]

    Source and check as for `splay`.

    >>> splay_deg(splay(Decimal(20), Decimal(2), Decimal(32))).quantize(Decimal("0.001"))
    Decimal('23.130')
    """
    return arctangent_deg(legs.sine / legs.cosine)


@exactly
def strap_load(reaction_lb: Decimal, legs: Splay) -> StrapLoad:
    """Tension in a strap and pull on its anchors when the tank leans away from the wall.

        T = Q / (2 cos phi),  pull = Q / 2,  along the wall = Q/2 tan |phi|

    reaction_lb  Q, this strap's share; its sign is dropped, the shaking has two   [lb]
    legs         from `splay`
    returns      tension in one leg, pull on one anchor and the part along the wall on
                 one anchor, unrounded                                             [lb]

    Leaves out pretension and friction. Nothing here holds the tank along the wall: a
    smooth strap has the same tension in both legs.

    Source: balance at the tank and at each anchor, own derivation. Checked against:
    four heaters worked separately, to 0.01 lb, and a sum of leg forces by coordinates.

    >>> strap_load(Decimal(100), splay(Decimal(20), Decimal(0), Decimal(20)))[:2]
    (Decimal('50'), Decimal('50'))
    """
    half = abs(reaction_lb) / 2
    return StrapLoad(half / legs.cosine, half, half * abs(legs.sine) / legs.cosine)


@exactly
def strap_load_at(reaction_lb: Decimal, splay_deg: Decimal) -> StrapLoad:
    """The same, of legs whose splay is told as an angle.

        T = Q / (2 cos phi),  pull = Q / 2,  along the wall = Q/2 tan |phi|

    reaction_lb  Q, this strap's share; its sign is dropped       [lb]
    splay_deg    phi, from the wall's normal; its sign is dropped  [deg]  over -90, under 90
    returns      as `strap_load`                                  [lb]

    Source and check as for `strap_load`.

    >>> [str(one.quantize(Decimal("0.1"))) for one in strap_load_at(Decimal(100), Decimal(-45))]
    ['70.7', '50.0', '50.0']
    """
    half, cosine = abs(reaction_lb) / 2, sine_of_deg(90 - abs(splay_deg))
    return StrapLoad(half / cosine, half, half * sine_of_deg(abs(splay_deg)) / cosine)


@exactly
def strut_force(reaction_lb: Decimal, strut_angle_deg: Decimal) -> Decimal:
    """Push in one and pull in the other of two struts that hold a collar along the wall.

        P = Q / (2 sin theta)

    reaction_lb      this collar's share of the force; its sign is dropped  [lb]
    strut_angle_deg  each strut from the wall's normal, through the axis    [deg]  over 0, under 90
    returns          force in each strut, unrounded                         [lb]
    raises           ValueError outside that range

    Leaves out buckling of the strut and its flattened ends.

    Source: balance at the collar, own derivation. Checked against: 1.00, 0.707 and
    0.577 of Q at 30, 45 and 60 degrees, to the printed digits.

    >>> strut_force(Decimal(96), Decimal(30))
    Decimal('96')
    """
    if not 0 < strut_angle_deg < 90:
        raise ValueError(f"strut_angle_deg must be over 0 and under 90, not {strut_angle_deg}")
    return abs(reaction_lb) / (2 * sine_of_deg(strut_angle_deg))


@exactly
def strut_load(reaction_lb: Decimal, strut_angle_deg: Decimal) -> StrapLoad:
    """What the lag behind a strut carries while the tank is shaken along the wall.

        P = Q / (2 sin theta),  pull = P cos theta,  along the wall = P sin theta = Q / 2

    Arguments, range and errors as for `strut_force`.

    returns  force in the strut, pull on its lag and the part along the wall, unrounded [lb]

    Leaves out what a strap takes of it. One of the two struts is pulled, its lag with it.

    Source: balance at the strut's end, own derivation. Checked against: at 8 degrees and
    194.4 lb a pull of 692 lb worked apart, to the pound; at 45 degrees half of Q each way.

    >>> [str(one.quantize(Decimal("0.1"))) for one in strut_load(Decimal(100), Decimal(45))]
    ['70.7', '50.0', '50.0']
    """
    force = strut_force(reaction_lb, strut_angle_deg)
    # of 45 degrees the two are one number, and their quotient 1
    out = sine_of_deg(90 - strut_angle_deg) / sine_of_deg(strut_angle_deg)
    return StrapLoad(force, abs(reaction_lb) / 2 * out, abs(reaction_lb) / 2)


@exactly
def tipping_ratio(mass_height_in: Decimal, tank_base_in: Decimal, base_radius_in: Decimal) -> Decimal:
    """Height of the mass above its base, in base radii.

        (hc - B) / Rb

    mass_height_in  centre of mass, from the floor   [in]
    tank_base_in    bottom of the jacket, same       [in]
    base_radius_in  half the width it stands on      [in]  more than 0
    returns         ratio, unrounded                 [-]

    Without straps a tank tips when the ratio is more than W / F: above 3 at a third
    of the weight, and not at 3 exactly. Leaves out sliding.

    Source: moments about the toe, own derivation. Checked against: four heaters
    worked separately; to 0.001.

    >>> tipping_ratio(Decimal(30), Decimal(0), Decimal(9)).quantize(Decimal("0.001"))
    Decimal('3.333')
    """
    positive(base_radius_in=base_radius_in)
    return (mass_height_in - tank_base_in) / base_radius_in
