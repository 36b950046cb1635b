"""To how many places a number is read: as many as its unit needs, never onto a rounder number than it is."""

from __future__ import annotations

from decimal import Decimal

from ..rules.units import EXACT, is_sixteenth

ONE, TENTH, HUNDREDTH = Decimal(1), Decimal("0.1"), Decimal("0.01")
STEPS = {
    "psi": TENTH, "gal": HUNDREDTH, "lb": TENTH, "Btu/h": ONE, "A": HUNDREDTH, "kW": TENTH, "in2": TENTH,
    "ft3": TENTH, "ft": HUNDREDTH, "degF": TENTH, "cfm": TENTH, "deg": HUNDREDTH,
    "ratio": HUNDREDTH,
}  # fmt: skip
"""To what a found value and its limit are read, and an answer by itself; others keep all their places."""
FINER = {"in": 2}
"""To how many places an answer is read in a unit that is not in STEPS, 3 where nothing is said."""
AS_TYPED = 3
"""So many places are what somebody typed, and stay; from an inch on two, for three come of millimeters."""
BELOW_ONE = 3
"""To how many places at least an answer below one is read: a quarter of a psi is not a fifth."""


def as_read(value: Decimal, unit: str) -> Decimal:
    """An answer to the places that its unit needs, and never onto a rounder number than it is.

    Limits are round numbers and marks of a tape: what is over one is not read as on it. A tape's mark stays.

    >>> as_read(Decimal("59.46547246938"), "psi"), as_read(Decimal("80.04"), "psi")
    (Decimal('59.5'), Decimal('80.04'))
    >>> as_read(Decimal("35.98425196850"), "in"), as_read(Decimal("14.0625"), "in")
    (Decimal('35.98'), Decimal('14.0625'))
    >>> as_read(Decimal("0.25"), "psi"), as_read(Decimal("2.137"), "gal")
    (Decimal('0.25'), Decimal('2.137'))
    >>> as_read(Decimal("0.028"), "in"), as_read(Decimal("0.2362204724"), "in")
    (Decimal('0.028'), Decimal('0.236'))
    """
    below_one = abs(value) < 1 and (unit == "in" or unit in STEPS)
    typed = BELOW_ONE if below_one else FINER.get(unit, AS_TYPED)
    if places_of(value) <= typed or (unit == "in" and is_sixteenth(value)):
        return value
    step = STEPS.get(unit)
    fewest = FINER.get(unit, 3) if step is None else places_of(step)
    if below_one:
        fewest = max(fewest, BELOW_ONE)
    for places in range(fewest, places_of(value)):
        brief = value.quantize(ONE.scaleb(-places), context=EXACT)
        if not (is_sixteenth(brief) if unit == "in" else str(brief).endswith("0")):
            return brief
    return value


def places_of(value: Decimal) -> int:
    """How many decimal places a number is written with."""
    return -int(value.as_tuple().exponent)
