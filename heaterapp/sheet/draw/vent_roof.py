"""A vent that ends above the roof, seen from the side: feet over the hood, everything to one scale."""

from __future__ import annotations

from decimal import Decimal

from heaterapp.rules.units import plain

from .given import Against
from .shapes import (
    Label,
    asked_taped,
    box,
    cited,
    drawing,
    found_taped,
    hatch,
    kept,
    labels,
    level_dimension,
    line,
    named,
    path,
    pipe,
    taped,
    upright_dimension,
    words,
)
from .vent_facts import INCHES, ZERO, RoofVent, roof_words

TALLEST, WIDEST = Decimal(200), Decimal(84)
MOST_A_FOOT = Decimal(26)
TOP, LEFT, RIGHT = Decimal(16), Decimal(78), Decimal(166)
LABELS = Decimal(180)
LETTERS = 20
APART = Decimal(17)
DIMENSION, FIGURE = Decimal(62), Decimal(56)
FIGURE_LETTERS = 7
STUB_FT = Decimal(1)
THINNEST = Decimal("2.4")
USUAL_DIAMETER_IN = Decimal(20)
SKIRT_IN = Decimal(6)
SKIRT = Decimal("1.8")
WOOD = Decimal(9)
QUIET = "label quiet"


class _Frame:
    """Feet from the hood turned into places on the sheet."""

    def __init__(self, vent: RoofVent, tallest: Decimal) -> None:
        x, low = vent.foot or (ZERO, ZERO)
        half = (vent.heater_in or USUAL_DIAMETER_IN) / INCHES / 2
        asked = vent.tall_ft
        if vent.above_roof_in is not None and vent.end.limit is not None:
            asked += max(vent.end.limit - vent.above_roof_in, ZERO) / INCHES
        self.high = asked
        self.low = min(low, ZERO) - (STUB_FT if vent.height_ft is not None else ZERO)
        wide = vent.wide_in / INCHES
        self.left = -half if vent.height_ft is not None else -wide
        across = x + vent.offset_ft + wide - self.left
        self.scale = min(tallest / (self.high - self.low), WIDEST / max(across, half), MOST_A_FOOT)
        self.bottom = self.y(self.low)

    def x(self, feet: Decimal) -> Decimal:
        return LEFT + (feet - self.left) * self.scale

    def y(self, feet: Decimal) -> Decimal:
        return TOP + (self.high - feet) * self.scale

    def long(self, inches: Decimal) -> Decimal:
        return inches / INCHES * self.scale

    def across(self, inches: Decimal) -> Decimal:
        return max(self.long(inches), THINNEST)


@kept
def roof_svg(vent: RoofVent, tallest: Decimal = TALLEST) -> str:
    """The drawing; while everything else of a section is typed it stays the same."""
    at = _Frame(vent, tallest)
    beside: list[Label] = []
    parts = _roof(vent, at, beside)
    parts += _heater(vent, at, beside)
    parts += _connector(vent, at, beside)
    middle = [(at.x(x), at.y(y)) for x, y in vent.way]
    parts.append(pipe("pipe", middle, at.across(vent.wide_in)))
    if vent.flue_in2 is not None:
        parts.append(pipe("stand", middle, at.across(vent.wide_in) + 6))
    parts += _wood(vent, at, beside)
    parts += _end(vent, at, beside)
    if vent.height_ft is not None:
        parts += upright_dimension(DIMENSION, at.y(vent.tall_ft), at.y(ZERO), at.x(ZERO))
        tall, middle_y = f"{plain(vent.height_ft, 2)} ft", (at.y(vent.tall_ft) + at.y(ZERO)) / 2
        if len(tall) <= FIGURE_LETTERS:
            parts.append(words("label end", FIGURE, middle_y + 4, tall))
        else:
            beside.append(Label(middle_y, f"{tall} up", QUIET))
    bottom = max(at.bottom + 30, TOP + APART * (len(beside) - 1) + 5)
    parts += labels(beside, RIGHT + 2, LABELS, APART, TOP, bottom)
    return drawing("vent", bottom + 8, "The vent, seen from the side", roof_words(vent), parts)


def _found(one: Against) -> str:
    return f"label strong{' fails' if one.fails else ''}"


def _limit(y: Decimal, one: Against) -> Label:
    return Label(y, cited(asked_taped(one.found, one.limit or ZERO), one.section, LETTERS), QUIET)


def _roof(vent: RoofVent, at: _Frame, beside: list[Label]) -> list[str]:
    if vent.above_roof_in is None:
        return []
    x, y = at.x(vent.way[-1][0]), at.y(vent.tall_ft) + at.long(vent.above_roof_in)
    if not TOP < y < at.bottom:
        return []
    slope = (vent.pitch_in or ZERO) / INCHES
    span = min(RIGHT - x, x - LEFT + 10, Decimal(34))
    if slope:
        span = min(span, (y - TOP) / slope, (at.bottom - y) / slope)
    rise = span * slope
    parts = [path("roof", [(x - span, y + rise + low), (x + span, y - rise + low)]) for low in (0, 4)]
    if vent.pitch_in is not None:
        beside.append(Label(y - rise, f"roof {plain(vent.pitch_in, 2)} in 12", QUIET))
    return parts


def _heater(vent: RoofVent, at: _Frame, beside: list[Label]) -> list[str]:
    if vent.height_ft is None:
        return []
    middle, hood = at.x(ZERO), at.y(ZERO)
    half = at.long(vent.heater_in or USUAL_DIAMETER_IN) / 2
    out = at.across(vent.outlet_in or vent.connector_in or vent.wide_in) / 2
    top = hood + at.long(SKIRT_IN)
    skirt = out * SKIRT if vent.hood == "draft hood" else out
    if vent.outlet_in is not None:
        beside.append(Label(hood, named(taped(vent.outlet_in), vent.hood, LETTERS), QUIET))
    if vent.hood_clear.found is not None:
        clear = found_taped(vent.hood_clear.found, vent.hood_clear.limit)
        beside.append(Label(top, named(clear, "clear, hood", LETTERS), _found(vent.hood_clear)))
    left, right = middle - half, middle + half
    upper = [(middle - out, hood), (middle + out, hood)]
    return [
        path("tank", [(left, at.bottom), (left, top), (right, top), (right, at.bottom)]),
        path("hood", [*upper, (middle + skirt, top), (middle - skirt, top), upper[0]]),
    ]


def _connector(vent: RoofVent, at: _Frame, beside: list[Label]) -> list[str]:
    if vent.foot is None or vent.rise_in is None or vent.connector_ft is None:
        return []
    far, join = vent.foot
    start = join - vent.rise_in / INCHES
    way = [(at.x(ZERO), at.y(start)), (at.x(far), at.y(join))]
    wide = at.across(vent.connector_in or vent.outlet_in or Decimal(3))
    if start > 0:
        way.insert(0, (at.x(ZERO), at.y(ZERO)))
    parts = [pipe("pipe", way, wide)]
    if vent.slope.limit is not None:
        asked = at.y(start + vent.slope.limit / INCHES)
        parts.append(path("limit", [(at.x(ZERO), at.y(start)), (at.x(far), max(asked, TOP))]))
        beside.append(_limit(asked, vent.slope))
    size = (
        named(taped(vent.connector_in), "connector", LETTERS)
        if vent.connector_in is not None
        else "connector"
    )
    beside.append(Label(at.y(join) - wide / 2, size, QUIET))
    rises = found_taped(vent.rise_in, vent.slope.limit)
    beside.append(Label(at.y(join), f"rises {rises} in", _found(vent.slope)))
    parts += level_dimension(at.bottom + 12, at.x(ZERO), at.x(far), at.y(start))
    middle = (at.x(ZERO) + at.x(far)) / 2
    parts.append(words("label middle", middle, at.bottom + 28, f"{plain(vent.connector_ft, 2)} ft"))
    return parts


def _wood(vent: RoofVent, at: _Frame, beside: list[Label]) -> list[str]:
    """What can burn, as near as it was found: beside the vent, and over the connector."""
    parts: list[str] = []
    low, high = vent.way[-2], vent.way[-1]
    if vent.vent_clear.found is not None:
        x = at.x(high[0]) + at.across(vent.wide_in) / 2 + at.long(vent.vent_clear.found)
        roof = at.y(vent.tall_ft) + at.long(vent.above_roof_in or ZERO)
        top, end = max(roof + 14, at.y(high[1]) + 8), at.y(low[1]) - 8
        if x + WOOD < RIGHT + 4 and end - top > 12:
            tall = min(end - top, Decimal(30))
            parts += [box("stand", x, top, WOOD, tall), hatch("ground", x, top, WOOD, tall, 5)]
        # A roof said to lie under the hood leaves no place beside the pipe: the words stand at its foot.
        top = min(max(top, TOP), at.bottom - 10)
        found = named(
            found_taped(vent.vent_clear.found, vent.vent_clear.limit), "to burnable", LETTERS
        )
        beside.append(Label(top + 8, found, _found(vent.vent_clear)))
        if vent.vent_clear.limit is not None:
            beside.append(_limit(top + 9, vent.vent_clear))
    return parts


def _end(vent: RoofVent, at: _Frame, beside: list[Label]) -> list[str]:
    if vent.above_roof_in is None:
        return []
    x, end = at.x(vent.way[-1][0]), at.y(vent.tall_ft)
    roof = end + at.long(vent.above_roof_in)
    parts = []
    high = found_taped(vent.above_roof_in, vent.end.limit)
    beside.append(Label(end, named(high, "above roof", LETTERS), _found(vent.end)))
    if vent.end.limit is not None:
        asked = roof - at.long(vent.end.limit)
        if TOP - 4 <= asked <= at.bottom:
            parts.append(line("limit", max(x - 30, LEFT - 10), asked, RIGHT, asked))
            beside.append(_limit(asked, vent.end))
    cap = at.across(vent.wide_in) / 2 + 2
    parts.append(line("hood", x - cap, end, x + cap, end))
    return parts
