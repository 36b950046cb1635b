"""Strength of lag screws in wood, allowable stress design."""

from __future__ import annotations

from decimal import ROUND_HALF_EVEN, Decimal
from typing import NamedTuple

from .exact import exactly, not_negative, positive


class PullAndShear(NamedTuple):
    """A slanting load on a lag and what the lag may carry in that direction."""

    load_lb: Decimal
    allowable_lb: Decimal


@exactly
def withdrawal_per_inch(gravity: Decimal, lag_diameter_in: Decimal) -> Decimal:
    """Reference withdrawal value of a lag screw for each inch of thread in side grain.

        W = 1800 G^1.5 D^0.75

    gravity          G, specific gravity of the oven-dry wood   [-]      over 0, 1 at most
    lag_diameter_in  D, unthreaded shank                        [in]     more than 0
    returns          value unrounded; the table prints it to 1  [lb/in]
    raises           ValueError outside those ranges

    Leaves out end grain (three quarters of it), load duration and the steel.

    Source: NDS 2018 12.2.1, read at ns2.engineersedge.com, lag screw withdrawal.
    Checked against: 24 cells of Table 12.2A; each equals this, rounded.

    >>> withdrawal_per_inch(Decimal("0.50"), Decimal("0.25")).quantize(Decimal("0.01"))
    Decimal('225.00')
    """
    positive(gravity=gravity, lag_diameter_in=lag_diameter_in)
    if gravity > 1:
        raise ValueError(f"gravity must be 1 at most, not {gravity}")
    root = lag_diameter_in.sqrt()
    return 1800 * gravity * gravity.sqrt() * root * root.sqrt()


@exactly
def withdrawal_as_printed(gravity: Decimal, lag_diameter_in: Decimal) -> Decimal:
    """Reference withdrawal value as the standard's table prints it: to the pound.

    Arguments, source and check as for `withdrawal_per_inch`. A design starts from
    the printed value.

    >>> withdrawal_as_printed(Decimal("0.42"), Decimal("0.25"))
    Decimal('173')
    """
    return withdrawal_per_inch(gravity, lag_diameter_in).quantize(Decimal(1), ROUND_HALF_EVEN)


@exactly
def thread_length(lag_length_in: Decimal) -> Decimal:
    """Shortest thread a lag screw of a given length is made with.

        T = L / 2 + 1/2, 6 at most, never more than L

    lag_length_in  under the head                     [in]  more than 0
    returns        length with the tip, unrounded     [in]

    Source: ANSI/ASME B18.2.1, read at ns2.engineersedge.com, standard hex lag screws.
    Checked against: 2 in. of thread printed for a 3 in. lag; exact.

    >>> thread_length(Decimal(3))
    Decimal('2.0')
    """
    positive(lag_length_in=lag_length_in)
    return min(lag_length_in / 2 + Decimal("0.5"), Decimal(6), lag_length_in)


@exactly
def penetration(
    lag_length_in: Decimal, tip_in: Decimal, cover_in: Decimal, wood_in: Decimal | None = None
) -> Decimal:
    """How far a lag goes into the wood, its tip not counted.

        p = L - E - cover, 0 at least, no more than the wood is deep

    lag_length_in  under the head                                 [in]  more than 0
    tip_in         tapered tip                                    [in]  0 or more
    cover_in       drywall, blocking, strap and washer before it  [in]  0 or more
    wood_in        depth of the wood; None where it is deeper than the lag is long  [in]  more than 0
    returns        depth, unrounded                               [in]

    Source: NDS 2018 12.1.4.6 and 12.2.1 leave the tip out. Checked against: hand.

    >>> penetration(Decimal(3), Decimal("0.15625"), Decimal("0.5"))
    Decimal('2.34375')
    """
    positive(lag_length_in=lag_length_in)
    not_negative(tip_in=tip_in, cover_in=cover_in)
    end = lag_length_in - tip_in
    if wood_in is not None:
        positive(wood_in=wood_in)
        end = min(end, cover_in + wood_in)
    return max(end - cover_in, Decimal(0))


@exactly
def thread_in_wood(
    lag_length_in: Decimal, tip_in: Decimal, cover_in: Decimal, wood_in: Decimal | None = None
) -> Decimal:
    """Length of full thread that grips the wood.

        the part of L - T ... L - E that lies between cover and cover + wood

    Arguments as for `penetration`; T from `thread_length`. A long lag has its thread at
    its far end: what comes out of the back of a stud grips nothing.

    returns  length, unrounded; 0 where the lag ends in the cover  [in]

    Source: NDS 2018 12.2.1. Checked against: 1.84 in. for a 1/4 x 3 in. lag; to the
    printed digits.

    >>> thread_in_wood(Decimal(3), Decimal("0.15625"), Decimal("0.5"))
    Decimal('1.84375')

    The thread of a 6 in. lag is its last 3 1/2; a stud of 3 1/2 behind 1/2 ends 4 in. in.

    >>> thread_in_wood(Decimal(6), Decimal("0.15625"), Decimal("0.5"), Decimal("3.5"))
    Decimal('1.5')
    """
    deep = penetration(lag_length_in, tip_in, cover_in, wood_in)
    begins = max(lag_length_in - thread_length(lag_length_in), cover_in)
    return max(cover_in + deep - begins, Decimal(0))


@exactly
def lag_withdrawal_allowable(
    reference_lb_per_in: Decimal,
    thread_in_wood_in: Decimal,
    *,
    load_duration: Decimal,
    penetration_in: Decimal,
    lag_diameter_in: Decimal,
    least_diameters: Decimal,
) -> Decimal:
    """Pull that one lag may carry, straight out of side grain.

        W' = W CD t,   0 where p < n D

    reference_lb_per_in  W, from the table                        [lb/in] 0 or more
    thread_in_wood_in    t                                        [in]    0 or more
    load_duration        CD; 1.6 for earthquake                   [-]     more than 0
    penetration_in       p                                        [in]    0 or more
    lag_diameter_in      D                                        [in]    more than 0
    least_diameters      n; below it no value is given, 4         [-]
    returns              allowable pull, unrounded                [lb]

    Leaves out wet wood, heat above 100 degF, end grain, edge and end distances and the
    strap under the head.

    Source: NDS 2018 12.2.1, 12.1.4.6 and 2.3.2. Checked against: 767, 664, 528 and
    510 lb for a 1/4 x 3 in. lag in four woods; to the pound.

    >>> lag_withdrawal_allowable(Decimal(225), Decimal("1.84375"), load_duration=Decimal("1.6"),
    ...     penetration_in=Decimal("2.34375"), lag_diameter_in=Decimal("0.25"),
    ...     least_diameters=Decimal(4))
    Decimal('663.750000')
    """
    not_negative(
        reference_lb_per_in=reference_lb_per_in,
        thread_in_wood_in=thread_in_wood_in,
        penetration_in=penetration_in,
    )
    positive(load_duration=load_duration, lag_diameter_in=lag_diameter_in)
    if penetration_in < least_diameters * lag_diameter_in:
        return Decimal(0)
    return reference_lb_per_in * load_duration * thread_in_wood_in


@exactly
def lag_lateral_allowable(
    reference_lb: Decimal,
    *,
    load_duration: Decimal,
    penetration_in: Decimal,
    lag_diameter_in: Decimal,
    full_diameters: Decimal,
    least_diameters: Decimal,
) -> Decimal:
    """Push across that one lag may carry.

        Z' = Z CD min(1, p / (m D)),   0 where p < n D

    reference_lb     Z, from the table for the plate and the grain  [lb]  0 or more
    load_duration    CD; 1.6 for earthquake                         [-]   more than 0
    penetration_in   p                                              [in]  0 or more
    lag_diameter_in  D                                              [in]  more than 0
    full_diameters   m; the table's own penetration, 8              [-]   more than 0
    least_diameters  n; below it no value is given, 4               [-]
    returns          allowable push, unrounded                      [lb]

    Leaves out what `lag_withdrawal_allowable` does. Along a wall the load runs across
    the grain of a stud.

    Source: NDS 2018 Table 12K; its footnote on short penetration is from memory.
    Checked against: hand.

    >>> lag_lateral_allowable(Decimal(110), load_duration=Decimal("1.6"),
    ...     penetration_in=Decimal("1.5"), lag_diameter_in=Decimal("0.25"),
    ...     full_diameters=Decimal(8), least_diameters=Decimal(4))
    Decimal('132.000')
    """
    not_negative(reference_lb=reference_lb, penetration_in=penetration_in)
    positive(load_duration=load_duration, lag_diameter_in=lag_diameter_in, full_diameters=full_diameters)
    if penetration_in < least_diameters * lag_diameter_in:
        return Decimal(0)
    share = min(penetration_in / (full_diameters * lag_diameter_in), Decimal(1))
    return reference_lb * load_duration * share


@exactly
def pull_and_shear(
    pull_lb: Decimal,
    along_lb: Decimal,
    *,
    pull_allowable_lb: Decimal,
    along_allowable_lb: Decimal,
) -> PullAndShear:
    """A lag pulled out and pushed along the wall at once.

        load = sqrt(N^2 + V^2),  sin a = N / load,  cos a = V / load
        Z'a = W' Z' / (W' cos^2 a + Z' sin^2 a)

    pull_lb             N, straight out                   [lb]  0 or more
    along_lb            V, along the face                 [lb]  0 or more
    pull_allowable_lb   W', for one lag                   [lb]  0 or more
    along_allowable_lb  Z', for one lag                   [lb]  0 or more
    returns             load and allowable in its direction, unrounded; the allowable
                        is 0 where either value it needs is 0, and W' with no load [lb]

    Source: NDS 2018 12.4.1, from memory. Checked against: pure pull gives W', pure
    shear gives Z', 45 degrees their harmonic mean; exact to 1e-20.

    >>> pull_and_shear(Decimal(30), Decimal(40), pull_allowable_lb=Decimal(600),
    ...                along_allowable_lb=Decimal(200))
    PullAndShear(load_lb=Decimal('50'), allowable_lb=Decimal('263.1578947368421052631578947'))
    """
    not_negative(
        pull_lb=pull_lb,
        along_lb=along_lb,
        pull_allowable_lb=pull_allowable_lb,
        along_allowable_lb=along_allowable_lb,
    )
    out, along = pull_lb * pull_lb, along_lb * along_lb
    load = out + along
    if not load:
        return PullAndShear(Decimal(0), pull_allowable_lb)
    weakest = pull_allowable_lb * along + along_allowable_lb * out
    if not weakest:
        return PullAndShear(load.sqrt(), Decimal(0))
    return PullAndShear(load.sqrt(), pull_allowable_lb * along_allowable_lb * load / weakest)
