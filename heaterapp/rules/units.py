"""Units as names, and the numbers people type with them.

A unit is carried in an annotation, `Psi` or `Inch`, so that a test can compare
what a check says it reads with what the question and the clause declare. The
value itself is always an exact `Decimal`.
"""

from __future__ import annotations

import re
from decimal import Decimal
from typing import Annotated

from .against import against_least, against_most, band_about, beside, clear_of, tape_least, tape_most
from .writing import (
    EXACT,
    MOST_PLACES,
    amount,
    bare,
    eighths,
    eighths_up,
    inches_down,
    inches_up,
    is_sixteenth,
    plain,
    plain_down,
    plain_up,
    rounded,
    rounded_down,
    rounded_up,
    span,
    tape_ends,
    tape_mark,
    tape_range,
    tape_shown,
    unit_shown,
)

__all__ = [
    "EXACT", "HUNDREDTHS", "LONGEST", "MOST_PLACES", "Unit", "Unreadable", "against_least",
    "against_most", "amount", "band_about", "bare", "beside", "clear_of", "eighths", "eighths_up",
    "inches_down", "inches_up", "is_sixteenth", "parse_length", "parse_pitch", "parse_quantity", "plain",
    "plain_down", "plain_up", "rounded", "rounded_down", "rounded_up", "span", "tape_ends", "tape_least",
    "tape_mark", "tape_most", "tape_range", "tape_shown", "unit_shown",
]  # fmt: skip


HUNDREDTHS = 2
"""Decimals of amperes, of the straps' angle, a weight, a ratio and a length in feet, wherever printed."""


class Unit(str):
    """The printed name of a unit, as in "psi"."""


Psi = Annotated[Decimal, Unit("psi")]
Gallon = Annotated[Decimal, Unit("gal")]
Inch = Annotated[Decimal, Unit("in")]
Foot = Annotated[Decimal, Unit("ft")]
DegF = Annotated[Decimal, Unit("degF")]
Pound = Annotated[Decimal, Unit("lb")]
PoundPerGallon = Annotated[Decimal, Unit("lb/gal")]
BtuPerHour = Annotated[Decimal, Unit("Btu/h")]
BtuPerCubicFoot = Annotated[Decimal, Unit("Btu/ft3")]
Kilowatt = Annotated[Decimal, Unit("kW")]
Ampere = Annotated[Decimal, Unit("A")]
Volt = Annotated[Decimal, Unit("V")]
SquareInch = Annotated[Decimal, Unit("in2")]
CubicFoot = Annotated[Decimal, Unit("ft3")]
InchWaterColumn = Annotated[Decimal, Unit("in. w.c.")]
CubicFootPerMinute = Annotated[Decimal, Unit("cfm")]
Minute = Annotated[Decimal, Unit("min")]
Second = Annotated[Decimal, Unit("s")]
Year = Annotated[Decimal, Unit("year")]
Gravity = Annotated[Decimal, Unit("g")]
Degree = Annotated[Decimal, Unit("deg")]
Count = Annotated[Decimal, Unit("count")]
Ratio = Annotated[Decimal, Unit("ratio")]
Gauge = Annotated[Decimal, Unit("ga")]
Awg = Annotated[Decimal, Unit("AWG")]
Celsius = Annotated[Decimal, Unit("degC")]
Inches = Annotated[tuple[Decimal, ...], Unit("in")]
Pounds = Annotated[tuple[Decimal, ...], Unit("lb")]

_FRACTIONS = {
    "½": "1/2", "¼": "1/4", "¾": "3/4", "⅛": "1/8", "⅜": "3/8", "⅝": "5/8", "⅞": "7/8",
    "⅓": "1/3", "⅔": "2/3", "⅙": "1/6", "⅚": "5/6", "⅕": "1/5", "⅖": "2/5", "⅗": "3/5", "⅘": "4/5",
}  # fmt: skip
_QUOTES = {
    "’": "'", "‘": "'", "′": "'", "”": '"', "“": '"', "″": '"', "''": '"', "⁄": "/", "−": "-", "–": "-",
}  # fmt: skip

_SUFFIXES = {
    "psi": ("psig", "psi", "pounds", "lbs", "lb"),
    "gal": ("gallons", "gallon", "gals", "gal"),
    "degF": ("degf", "deg f", "°f", "° f", "f", "degrees", "deg", "°"),
    "lb": ("pounds", "lbs", "lb"),
    "Btu/h": ("btu/h", "btu/hr", "btuh", "btu"),
    "Btu/ft3": ("btu/ft3", "btu/cu ft", "btu/cf", "btu"),
    "kW": ("kw",),
    "A": ("amps", "amp", "a"),
    "V": ("volts", "volt", "v"),
    "in2": ("sq in", "in2", "in²"),
    "ft3": ("cu ft", "ft3", "ft³"),
    "in. w.c.": ("in. w.c.", "in wc", "inwc", "wc"),
    "ga": ("gauge", "ga"),
    "AWG": ("awg", "gauge", "ga"),
    "min": ("minutes", "min"),
    "g": ("g",),
    "degC": ("°c", "c"),
    "cfm": ("cfm",),
    "year": (), "count": (), "ratio": (),
    "deg": ("degrees", "deg", "°"),
}  # fmt: skip

# 12/2 is a cable of two 12 AWG wires, 15/30 a rating: in these units a stroke is no division.
_NO_FRACTIONS = frozenset({"AWG", "A", "V", "ga", "kW", "Btu/h", "Btu/ft3", "year", "degC", "deg", "g"})
_OTHER_UNITS = {
    "psi": {"kpa": Decimal("6.894757293168361"), "bar": Decimal("0.06894757293168361")},
    "kW": {"watts": Decimal(1000), "w": Decimal(1000)},
}
_MILLIMETERS = {"mm": Decimal(1), "cm": Decimal(10)}
_AN_INCH_IN_MM = Decimal("25.4")

_PLAIN = re.compile(r"[+-]?(?:[0-9]+(?:\.[0-9]*)?|\.[0-9]+)\Z")
# 0,250 is a quarter typed with a decimal comma, never 250.
_GROUPED = re.compile(r"[+-]?[1-9][0-9]{0,2}(?:,[0-9]{3})+(?:\.[0-9]*)?\Z")
_MIXED = re.compile(
    r"(?:(?P<whole>[0-9]+(?:\.[0-9]*)?|\.[0-9]+)?)(?:(?:^|[ -]+)(?P<top>[0-9]+) ?/ ?(?P<under>[0-9]+))?\Z"
)
_FEET = re.compile(r"(?P<feet>[^'a-z]+) ?(?:'|feet|foot|ft\.?)[ -]*(?P<rest>.*)\Z")
_RUN = re.compile(r" ?(?:/|:|in) ?12\Z")
_SIDES = 3
_TIMES = re.compile(r"[x×*]|\bby\b")
_INCH_MARK = re.compile(r' ?(?:"|inches|inch|in\.?)\Z')

LONGEST = 40


class Unreadable(ValueError):
    """What was typed is not a number in this unit; the message says what was expected."""


def _tidy(text: str) -> str:
    if len(text) > LONGEST:
        raise Unreadable(f"a number of at most {LONGEST} characters")
    if not text.isascii() or "''" in text:
        for odd, usual in _QUOTES.items():
            text = text.replace(odd, usual)
        for sign, usual in _FRACTIONS.items():
            text = text.replace(sign, " " + usual)
    return " ".join(text.split()).lower()


def _plain(text: str, expected: str) -> Decimal:
    if _GROUPED.match(text):
        text = text.replace(",", "")
    if not _PLAIN.match(text):
        raise Unreadable(expected)
    return Decimal(text)


def _mixed(text: str, expected: str) -> Decimal:
    text = text.strip()
    negative = text.startswith("-")
    found = _MIXED.match(text[1:].strip() if negative else text)
    if not found or (found["whole"] is None and found["top"] is None):
        raise Unreadable(expected)
    value = Decimal(found["whole"] or "0")
    if found["top"]:
        if int(found["top"]) >= int(found["under"]) or "." in (found["whole"] or ""):
            raise Unreadable(expected)
        value = EXACT.add(value, EXACT.divide(Decimal(found["top"]), Decimal(found["under"])))
    return -value if negative else value


def parse_length(text: str, unit: str = "in") -> Decimal:
    """Read a length as a tape is read.

    text     such as 14 3/8, 14-3/8", 1' 2", 5½, 14.375, 2 ft 6 in, 1257 mm
    unit     "in" or "ft": what a bare number is in, and what is returned
    returns  the length in that unit, exact (a third is carried to 28 digits)
    raises   Unreadable, saying what was expected

    >>> parse_length("14-3/8")
    Decimal('14.375')
    """
    expected = (
        "inches such as 14 3/8, 14.375 or 1' 2\"" if unit == "in" else "feet such as 12, 12.5 or 12' 6\""
    )
    tidy = _tidy(text)
    for mark, millimeters in _MILLIMETERS.items():
        if tidy.endswith(mark):
            inches = EXACT.divide(_plain(tidy[:-2].strip(), expected) * millimeters, _AN_INCH_IN_MM)
            return inches if unit == "in" else EXACT.divide(inches, Decimal(12))
    feet = _FEET.match(tidy)
    if feet:
        inches = EXACT.multiply(_mixed(feet["feet"], expected), Decimal(12))
        rest = _INCH_MARK.sub("", feet["rest"]).strip()
        if rest:
            inches = EXACT.add(inches, _mixed(rest, expected))
        return inches if unit == "in" else EXACT.divide(inches, Decimal(12))
    if _INCH_MARK.search(tidy):
        inches = _mixed(_INCH_MARK.sub("", tidy), expected)
        return inches if unit == "in" else EXACT.divide(inches, Decimal(12))
    if _GROUPED.match(tidy) or tidy.startswith("+"):
        return _plain(tidy, expected)
    return _mixed(tidy, expected)


def parse_pitch(text: str) -> Decimal:
    """Read a roof's pitch as roofers say it: its rise in inches for 12 of run.

    text  such as 9, 9/12, 9:12, 9 in 12, 4 1/2 in 12; not 3/4, which may be meant either way

    >>> parse_pitch("9/12")
    Decimal('9')
    """
    expected = "the rise for 12 in of run, such as 9, 9/12 or 4 1/2 in 12"
    rise = _RUN.sub("", _tidy(text))
    if "/" in rise and " " not in rise:
        raise Unreadable(expected)
    return _mixed(rise, expected)


def _volume(parts: list[str], expected: str) -> Decimal:
    sides = [parse_length(part.strip(), "ft") for part in parts]
    if len(sides) != _SIDES or any(side < 0 for side in sides):
        raise Unreadable(f"{expected}, or length x width x height in feet, such as 20x12x8")
    return EXACT.multiply(EXACT.multiply(sides[0], sides[1]), sides[2])


def parse_quantity(text: str, unit: str) -> Decimal:
    """Read a number with or without its unit behind it.

    text     such as 60, 60 psi, 40,000 Btu/h, 49 C, 414 kPa, 4500 W, 2 1/2, 20x12x8 ft3 (sides in feet)
    unit     the unit that a bare number is in, and that is returned
    returns  an exact Decimal
    raises   Unreadable, saying what was expected

    >>> parse_quantity("40,000 Btu/h", "Btu/h"), parse_quantity("60 C", "degF")
    (Decimal('40000'), Decimal('140'))
    >>> parse_quantity("20 x 12.5 x 8", "ft3")
    Decimal('2000.0')
    """
    if unit in ("in", "ft"):
        return parse_length(text, unit)
    if unit == "pitch":
        return parse_pitch(text)
    tidy = _tidy(text).removesuffix(".") if text[-2:-1].isalpha() else _tidy(text)
    expected = f"a number in {unit_shown(unit)}" if unit_shown(unit) else "a number"
    if unit == "AWG":
        expected = "a wire size such as 10: of a cable marked 10/2 or 10-2 the first number"
        tidy = tidy.removeprefix("#").strip()
    for mark, in_one in _OTHER_UNITS.get(unit, {}).items():
        if tidy.endswith(mark) and not tidy.endswith("kw"):
            return EXACT.divide(_plain(tidy[: -len(mark)].strip(), expected), in_one)
    if unit == "degF" and tidy.endswith("c"):
        celsius = _plain(re.sub(r" ?(?:°|deg)? ?c\Z", "", tidy), expected)
        fahrenheit = EXACT.add(EXACT.divide(EXACT.multiply(celsius, Decimal(9)), Decimal(5)), Decimal(32))
        return fahrenheit
    for suffix in _SUFFIXES[unit]:
        if tidy.endswith(suffix):
            tidy = tidy[: -len(suffix)].strip()
            break
    sides = _TIMES.split(tidy) if unit == "ft3" else []
    if len(sides) > 1:
        return _volume(sides, expected)
    if "/" in tidy and unit not in _NO_FRACTIONS:
        return _mixed(tidy, expected)
    return _plain(tidy, expected)
