"""What was found beside its limit: rounded apart so that each stands in print on the side where it is."""

from __future__ import annotations

from collections.abc import Callable
from decimal import ROUND_CEILING, ROUND_FLOOR, ROUND_HALF_EVEN, Context, Decimal

from .writing import MOST_PLACES, is_sixteenth, plain, rounded, side_of, taped

_WIDE = Context(prec=80, rounding=ROUND_HALF_EVEN)
FINEST, USUAL = 7, 3
"""To how many places two equal numbers stand exactly; one with no end is rounded to the usual places."""


def against_most(found: Decimal, most: Decimal, places: int = 3) -> tuple[str, str]:
    """What was found and the most allowed, for reading: the limit never over itself, that never under.

    places  decimals at least; more where the two would not stand in print as they do in truth

    >>> against_most(Decimal("80.0004"), Decimal(80)), against_most(Decimal("45800"), Decimal("45800.7"), 0)
    (('80.001', '80'), ('45,800', '45,800.7'))
    """
    return _told(*beside(found, most, places), plain)


def against_least(found: Decimal, least: Decimal, places: int = 3, *, load: bool = False) -> tuple[str, str]:
    """What was found and the least asked, the limit never under itself, that never over, or a load up.

    >>> against_least(Decimal("2.6996"), Decimal("2.69963"), 1), against_least(Decimal(5), Decimal("3.21"), 1)
    (('2.6', '2.7'), ('5', '3.3'))
    """
    return _told(*beside(found, least, places, need=True, load=load), plain)


def tape_most(found: Decimal, most: Decimal) -> tuple[str, str]:
    """Two lengths in inches as `against_most`, what falls on a sixteenth as a tape shows it.

    >>> tape_most(Decimal("14.375"), Decimal("36.0004"))
    ('14 3/8', '36')
    """
    return _told(*beside(found, most, tape=True), taped)


def tape_least(found: Decimal, least: Decimal, places: int = 3) -> tuple[str, str]:
    """Two lengths in inches as `against_least`, what falls on a sixteenth as a tape shows it.

    >>> tape_least(Decimal("17.9996"), Decimal(18))
    ('17.999', '18')
    """
    return _told(*beside(found, least, places, need=True, tape=True), taped)


def _told(found: Decimal, limit: Decimal, write: Callable[..., str]) -> tuple[str, str]:
    return write(found, MOST_PLACES), write(limit, MOST_PLACES)


def beside(
    found: Decimal,
    limit: Decimal,
    places: int = 3,
    *,
    need: bool = False,
    tape: bool = False,
    load: bool = False,
) -> tuple[Decimal, Decimal]:
    """Found and limit to so few places, from `places` on, that neither seems on or past the other.

    need  the limit is the least that is asked, rounded up, what is there rounded down; else the limit is
          the most that is allowed, rounded down, and what it is held against rounded up
    tape  what falls on a sixteenth stays
    load  what was found is rounded up whatever it is held against, as its figure is

    >>> beside(Decimal("0.1"), Decimal("0.08251"), need=True)
    (Decimal('0.100'), Decimal('0.083'))
    >>> beside(Decimal("73.344"), Decimal(80), 1)
    (Decimal('73.4'), Decimal('80.0'))

    Two that are equal are written alike: exactly, or where they have no end as what was found is rounded.

    >>> beside(Decimal("80.05"), Decimal("80.05"), 1)
    (Decimal('80.05'), Decimal('80.05'))
    """
    there = ROUND_FLOOR if need and not load else ROUND_CEILING
    how = ROUND_CEILING if need else ROUND_FLOOR
    if found == limit:
        alike = _alike(found, places, there, tape=tape)
        return alike, alike
    for more in range(places, MOST_PLACES):
        step = Decimal(1).scaleb(-more)
        near, edge = (
            one if tape and is_sixteenth(one) else one.quantize(step, rounding=way, context=_WIDE)
            for one, way in ((found, there), (limit, how))
        )
        if side_of(near, edge) == side_of(found, limit):
            return near, edge
    return found, limit


def _alike(value: Decimal, places: int, there: str, *, tape: bool) -> Decimal:
    if tape and is_sixteenth(value):
        return value
    for more in range(places, FINEST + 1):
        near = value.quantize(Decimal(1).scaleb(-more), rounding=there, context=_WIDE)
        if near == value:
            return near
    return value.quantize(Decimal(1).scaleb(-max(places, USUAL)), rounding=there, context=_WIDE)


def clear_of(value: Decimal, *edges: Decimal, places: int = 3, up: bool = False, down: bool = False) -> str:
    """A found number for reading, never onto or over an edge; a load `up`, an allowance `down`.

    >>> clear_of(Decimal("80.0004"), Decimal(80)), clear_of(Decimal("0.04"), Decimal(0), places=1)
    ('80.0004', '0.04')
    """
    sides = [side_of(value, edge) for edge in edges]
    while True:
        shown = Decimal(rounded(value, Decimal(1).scaleb(-places), up=up, down=down))
        if places >= MOST_PLACES or [side_of(shown, edge) for edge in edges] == sides:
            return plain(shown, places)
        places += 1


def band_about(low: Decimal, high: Decimal, found: Decimal, places: int = 1) -> str:
    """A band of numbers from zero on, rounded inward: what was found is within it in print as in truth.

    found  as it is printed itself; where it is below zero the band begins at its own end

    >>> band_about(Decimal(55), Decimal(65), Decimal(57))
    '55 to 65'
    >>> band_about(Decimal("55.154"), Decimal("65.154"), Decimal("65.15"))
    '55.16 to 65.15'
    """
    low = max(low, Decimal(0))
    within = low <= found <= high
    for more in range(places, MOST_PLACES):
        ends = [
            one.quantize(Decimal(1).scaleb(-more), rounding=way, context=_WIDE)
            for one, way in ((low, ROUND_CEILING), (high, ROUND_FLOOR))
        ]
        if ends[0] <= ends[1] and (ends[0] <= found <= ends[1]) == within:
            return " to ".join(plain(one, more) for one in ends)
    return f"{plain(low, MOST_PLACES)} to {plain(high, MOST_PLACES)}"
