"""Strength of perforated steel straps, allowable stress design."""

from __future__ import annotations

from decimal import Decimal
from typing import NamedTuple

from .exact import exactly, not_negative, positive


class StrapTension(NamedTuple):
    """Allowable tension in a strap by its two ways of failing, and the lesser."""

    yield_lb: Decimal
    rupture_lb: Decimal
    allowable_lb: Decimal


@exactly
def strap_tension(
    thickness_in: Decimal,
    width_in: Decimal,
    hole_in: Decimal,
    *,
    yield_psi: Decimal,
    ultimate_psi: Decimal,
    yield_safety: Decimal,
    rupture_safety: Decimal,
) -> StrapTension:
    """Tension a steel strap may carry across one hole.

        least of  t w Fy / 1.67  and  t (w - d) Fu / 2.00

    thickness_in    t, bare steel                       [in]   more than 0
    width_in        w                                   [in]   more than 0
    hole_in         d, widest hole across the strap     [in]   0 or more; w or more leaves nothing
    yield_psi, ultimate_psi       Fy, Fu of the steel   [psi]  more than 0
    yield_safety, rupture_safety  1.67 and 2.00         [-]    more than 0
    returns         both values and the lesser, unrounded  [lb]

    Leaves out bearing at the hole, bends, rust and the bolts. A listed kit has its own
    listing instead.

    Source: gross yield and net rupture as in AISI S100 chapter D, and steel of 33 and
    45 ksi, both from memory. Checked against: five straps
    worked separately; to the pound, but for one there halved from a rounded number.

    >>> strap_tension(Decimal("0.0239"), Decimal("0.75"), Decimal("0.25"),
    ...     yield_psi=Decimal(33000), ultimate_psi=Decimal(45000), yield_safety=Decimal("1.67"),
    ...     rupture_safety=Decimal(2)).allowable_lb.quantize(Decimal(1))
    Decimal('269')
    """
    positive(
        thickness_in=thickness_in, width_in=width_in, yield_psi=yield_psi, ultimate_psi=ultimate_psi,
        yield_safety=yield_safety, rupture_safety=rupture_safety,
    )  # fmt: skip
    not_negative(hole_in=hole_in)
    gross = thickness_in * width_in * yield_psi / yield_safety
    net = thickness_in * max(width_in - hole_in, Decimal(0)) * ultimate_psi / rupture_safety
    return StrapTension(gross, net, min(gross, net))
