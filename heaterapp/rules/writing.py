"""Numbers and units as they are written: bare where stored, thousands apart where a person reads."""

from __future__ import annotations

from decimal import ROUND_CEILING, ROUND_FLOOR, ROUND_HALF_EVEN, Context, Decimal, InvalidOperation

EXACT = Context(prec=28, rounding=ROUND_HALF_EVEN)
MOST_PLACES = 28

UNITS: dict[str, str] = {
    "degF": "°F", "degC": "°C", "deg": "°", "in2": "sq in", "ft3": "cu ft", "Btu/ft3": "Btu/cu ft",
    "count": "", "ratio": "", "year": "",
}  # fmt: skip
"""Units that are shown otherwise than they are stored."""


def unit_shown(unit: str) -> str:
    """A unit as it is read: `degF` as the degree sign and F, counts without any.

    >>> unit_shown("psi"), unit_shown("in2"), unit_shown("count")
    ('psi', 'sq in', '')
    """
    return UNITS.get(unit, unit)


def bare(value: Decimal, places: int = 3) -> str:
    """A number as it is stored: no exponent, no needless zeros, at most `places` decimals (half-even).

    >>> bare(Decimal("60.0")), bare(Decimal("89.21459"), 1), bare(Decimal("1E+5"))
    ('60', '89.2', '100000')
    """
    text = format(value, "f")
    if "." not in text:
        return "0" if text == "-0" else text
    if len(text) - text.index(".") - 1 > places:
        try:
            text = format(value.quantize(Decimal(1).scaleb(-places), context=EXACT), "f")
        except InvalidOperation:
            return str(value)
    if "." in text:
        text = text.rstrip("0").rstrip(".")
    return "0" if text in ("-0", "") else text


def plain(value: Decimal, places: int = 3) -> str:
    """A number for reading: as `bare`, thousands apart.

    >>> plain(Decimal("60.0")), plain(Decimal("1E+5")), plain(Decimal("-1234567.25"))
    ('60', '100,000', '-1,234,567.25')
    """
    text = bare(value, places)
    if len(text) <= 3:
        return text
    whole, point, rest = text.partition(".")
    apart = len(whole) > 3 and whole.removeprefix("-").isdecimal()
    return f"{int(whole):,}{point}{rest}" if apart else text


def amount(value: Decimal, unit: str, places: int = 3) -> str:
    """A number with its unit, for reading; a year is one word.

    >>> amount(Decimal(75000), "Btu/h"), amount(Decimal(60), "degF"), amount(Decimal(2011), "year")
    ('75,000 Btu/h', '60 °F', '2011')
    """
    return f"{bare(value) if unit == 'year' else plain(value, places)} {unit_shown(unit)}".strip()


def span(low: Decimal, high: Decimal, unit: str, places: int = 3) -> str:
    """A range with its unit, for reading.

    >>> span(Decimal(1000), Decimal(5000000), "Btu/h"), span(Decimal(1900), Decimal(2100), "year")
    ('1,000 to 5,000,000 Btu/h', '1900 to 2100')
    """
    return f"{amount(low, 'year' if unit == 'year' else '', places)} to {amount(high, unit, places)}"


def plain_up(value: Decimal, places: int = 1) -> str:
    """A size to buy: as `plain`, and never below the value.

    >>> plain_up(Decimal("2.63")), plain_up(Decimal("2.60"))
    ('2.7', '2.6')
    """
    return plain(rounded_up(value, places), places)


def rounded_up(value: Decimal, places: int = 1) -> Decimal:
    """The size to buy that `plain_up` writes, as a number.

    >>> rounded_up(Decimal("1234.51"))
    Decimal('1234.6')
    """
    return value.quantize(Decimal(1).scaleb(-places), rounding=ROUND_CEILING, context=EXACT)


def plain_down(value: Decimal, places: int = 1) -> str:
    """An allowance: as `plain`, and never above the value.

    >>> plain_down(Decimal("2.67")), plain_down(Decimal("45800.7"), 0)
    ('2.6', '45,800')
    """
    return plain(rounded_down(value, places), places)


def rounded_down(value: Decimal, places: int = 1) -> Decimal:
    """The allowance that `plain_down` writes, as a number.

    >>> rounded_down(Decimal("1234.59"))
    Decimal('1234.5')
    """
    return value.quantize(Decimal(1).scaleb(-places), rounding=ROUND_FLOOR, context=EXACT)


def rounded(value: Decimal, step: Decimal, *, up: bool = False, down: bool = False) -> str:
    """A figure for print: half-even, or up, or down, to a multiple of `step`, with the step's decimals.

    >>> rounded(Decimal("0.56435"), Decimal("0.001")), rounded(Decimal("0.5641"), Decimal("0.001"), up=True)
    ('0.564', '0.565')
    """
    how = ROUND_CEILING if up else ROUND_FLOOR if down else ROUND_HALF_EVEN
    count = EXACT.divide(value, step).quantize(Decimal(1), rounding=how, context=EXACT)
    result = EXACT.multiply(count, step)
    text = format(result.quantize(step, context=EXACT) if step < 1 else result, "f")
    return text[1:] if text.startswith("-") and not text.strip("-0.") else text


def eighths(value: Decimal) -> str:
    """A length in inches as a tape shows it, where it falls on a sixteenth; else as a decimal.

    >>> eighths(Decimal("14.375")), eighths(Decimal("-0.5")), eighths(Decimal("14.38"))
    ('14 3/8', '-1/2', '14.38')
    """
    if not is_sixteenth(value):
        return plain(value)
    if value < 0:
        return f"-{eighths(-value)}"
    whole, rest = divmod(int(value * 16), 16)
    if not rest:
        return str(whole)
    under = 16
    while rest % 2 == 0:
        rest, under = rest // 2, under // 2
    return f"{whole} {rest}/{under}" if whole else f"{rest}/{under}"


def eighths_up(value: Decimal, places: int = 2) -> str:
    """A height that is needed: as `eighths`, and never below the value.

    >>> eighths_up(Decimal("1.125")), eighths_up(Decimal("0.0825"))
    ('1 1/8', '0.09')
    """
    return eighths(value) if is_sixteenth(value) else plain_up(value, places)


def inches_up(value: Decimal) -> str:
    """A height that is needed, in decimals, as its figure prints it: a sixteenth whole, else up.

    >>> inches_up(Decimal("0.0625")), inches_up(Decimal("0.0825"))
    ('0.0625', '0.09')
    """
    return plain(value, 4) if is_sixteenth(value) else plain_up(value, 2)


def inches_down(value: Decimal) -> str:
    """A distance that is there, in decimals, as its figure prints it: a sixteenth whole, else down.

    >>> inches_down(Decimal("5.4375")), inches_down(Decimal("5.46875"))
    ('5.4375', '5.46')
    """
    return plain(value, 4) if is_sixteenth(value) else plain_down(value, 2)


def tape_mark(value: Decimal, *edges: Decimal) -> str:
    """A found height as a number: a sixteenth whole, else rounded, never onto or over an edge.

    >>> tape_mark(Decimal("37.3125")), tape_mark(Decimal("37.25004"), Decimal("37.25"))
    ('37.3125', '37.25004')
    """
    places = 4 if is_sixteenth(value) else 3
    sides = [side_of(value, edge) for edge in edges]
    while places < 28 and [side_of(Decimal(bare(value, places)), edge) for edge in edges] != sides:
        places += 1
    return bare(value, places)


def tape_shown(value: Decimal, *edges: Decimal) -> str:
    """The same as a tape shows it, where it falls on a sixteenth.

    >>> tape_shown(Decimal("37.3125")), tape_shown(Decimal("37.25004"), Decimal("37.25"))
    ('37 5/16', '37.25004')
    """
    return taped(Decimal(tape_mark(value, *edges)))


def is_sixteenth(value: Decimal) -> bool:
    """Whether a length falls on a sixteenth of an inch."""
    return value * 16 == (value * 16).to_integral_value()


def side_of(value: Decimal, edge: Decimal) -> int:
    """1 over an edge, 0 on it, -1 under."""
    return (value > edge) - (value < edge)


_GRIDS = (Decimal(8), Decimal(16), *(Decimal(10) ** places for places in range(2, 20)))


def tape_range(low: Decimal, high: Decimal, *found: Decimal) -> str:
    """Two lengths as a tape shows them, rounded inward to an eighth, so that both ends are allowed.

    found  heights that were found: the ends are printed as finely as it takes for each to be
           within or without them in print as it is in truth

    >>> tape_range(Decimal("34.75"), Decimal("37.3333"))
    '34 3/4 to 37 1/4'
    >>> tape_range(Decimal("18"), Decimal("37.3333"), Decimal("37.3125"))
    '18 to 37 5/16'
    >>> tape_range(Decimal("18"), Decimal("37.3333"), Decimal("37.33"))
    '18 to 37.33'
    >>> tape_range(Decimal("18.51"), Decimal("18.55"))
    '18.51 to 18.55'
    """
    return " to ".join(tape_ends(low, high, *found))


def tape_ends(low: Decimal, high: Decimal, *found: Decimal) -> tuple[str, str]:
    """The same as its two ends.

    >>> tape_ends(Decimal("34.8"), Decimal("37.3333"))
    ('34 7/8', '37 1/4')
    """
    told = [(low <= one <= high, Decimal(tape_mark(one, low, high))) for one in found]
    for grid in _GRIDS:
        ends = [
            (value * grid).to_integral_value(rounding=how) / grid
            for value, how in ((low, ROUND_CEILING), (high, ROUND_FLOOR))
        ]
        if ends[0] <= ends[1] and all((ends[0] <= shown <= ends[1]) == within for within, shown in told):
            return taped(ends[0]), taped(ends[1])
    return taped(low), taped(high)


def taped(value: Decimal, places: int = MOST_PLACES) -> str:
    """A length in inches as a tape shows it, where it falls on a sixteenth; else to so many places."""
    return eighths(value) if is_sixteenth(value) else plain(value, places)
