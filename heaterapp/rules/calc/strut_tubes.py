"""Strength of a round tube as a strut, allowable stress design."""

from __future__ import annotations

from decimal import Decimal
from typing import NamedTuple

from .angles import PI
from .exact import exactly, positive


class TubeStrut(NamedTuple):
    """How slender a strut is, and what it may carry."""

    slenderness: Decimal
    allowable_lb: Decimal


@exactly
def tube_strut(
    outside_in: Decimal,
    wall_in: Decimal,
    length_in: Decimal,
    *,
    modulus_psi: Decimal,
    yield_psi: Decimal,
    safety: Decimal,
) -> TubeStrut:
    """Push that a round steel tube may carry before it buckles, both ends pinned.

        A = pi (D^2 - d^2) / 4,  r = sqrt(D^2 + d^2) / 4,  d = D - 2 t
        Fe = pi^2 E / (L / r)^2
        Fcr = 0.658^(Fy/Fe) Fy where Fy/Fe <= 2.25, else 0.877 Fe;  P = A Fcr / 1.67

    outside_in   D                          [in]   more than 0
    wall_in      t, under half of D         [in]   more than 0
    length_in    L, from pin to pin         [in]   more than 0
    modulus_psi, yield_psi  E, Fy           [psi]  more than 0
    safety       1.67                       [-]    more than 0
    returns      L / r and the push, unrounded  [-], [lb]
    raises       ValueError outside those ranges

    Leaves out flattened and bent ends, bolts, and dents: what a strut carries in truth is
    less. Pull is not smaller than push.

    Source: AISC 360-10 E3 as summed up at bgstructuralengineering.com, section 7.7.
    Checked against: four printed values of the manual's Table 4-22 (stress over 1.67 by
    slenderness 1 to 24, Fy 35), to 0.051 ksi; the rest by hand.

    >>> found = tube_strut(Decimal("0.706"), Decimal("0.042"), Decimal(30),
    ...     modulus_psi=Decimal(29000000), yield_psi=Decimal(30000), safety=Decimal("1.67"))
    >>> found.slenderness.quantize(Decimal("0.1")), found.allowable_lb.quantize(Decimal(1))
    (Decimal('127.5'), Decimal('771'))
    """
    positive(
        outside_in=outside_in, wall_in=wall_in, length_in=length_in,
        modulus_psi=modulus_psi, yield_psi=yield_psi, safety=safety,
    )  # fmt: skip
    inside = outside_in - 2 * wall_in
    positive(inside_in=inside)
    area = PI * (outside_in * outside_in - inside * inside) / 4
    slenderness = length_in * 4 / (outside_in * outside_in + inside * inside).sqrt()
    elastic = PI * PI * modulus_psi / (slenderness * slenderness)
    ratio = yield_psi / elastic
    # exp and ln are correctly rounded everywhere; the power operator need not be
    crushed = (ratio * Decimal("0.658").ln()).exp() * yield_psi
    stress = crushed if ratio <= Decimal("2.25") else Decimal("0.877") * elastic
    return TubeStrut(slenderness, area * stress / safety)
