"""Lines, hatches and labels as SVG text. Coordinates are exact and printed to a tenth."""

from __future__ import annotations

import re
from collections.abc import Callable, Iterable, Sequence
from dataclasses import dataclass
from decimal import ROUND_HALF_EVEN, Decimal
from functools import lru_cache
from html import escape
from itertools import pairwise
from typing import Any

from heaterapp.languages import spoken, told
from heaterapp.rules.units import eighths, eighths_up, is_sixteenth, plain, tape_least

from ..brief import as_read

WIDTH = Decimal(328)
TENTH = Decimal("0.1")
HUNDREDTHS = 2
LABEL_LETTERS = 18
LETTER = Decimal("7.2")
SCOPE = "draw"
_FIGURE = re.compile(r"[\d ./]+(?:in|ft|psi|gal)?")


def kept(draw: Callable[..., str]) -> Callable[..., str]:
    """Keep what was drawn for the same facts, in each language apart."""
    drawn = lru_cache(maxsize=200)(lambda language, *facts: draw(*facts))

    def once(*facts: Any) -> str:
        return drawn(spoken(), *facts)

    return once


@lru_cache(maxsize=5000)
def at(value: Decimal | int) -> str:
    """A coordinate to a tenth, without needless zeros."""
    text = format(Decimal(value).quantize(TENTH, rounding=ROUND_HALF_EVEN), "f")
    text = text.removesuffix(".0")
    return "0" if text == "-0" else text


def line(kind: str, x1: Decimal, y1: Decimal, x2: Decimal, y2: Decimal) -> str:
    """A straight line."""
    return f'<line class="{kind}" x1="{at(x1)}" y1="{at(y1)}" x2="{at(x2)}" y2="{at(y2)}"/>'


def box(kind: str, x: Decimal, y: Decimal, width: Decimal, height: Decimal, round_by: int = 0) -> str:
    """A rectangle."""
    corner = f' rx="{round_by}"' if round_by else ""
    return f'<rect class="{kind}" x="{at(x)}" y="{at(y)}" width="{at(width)}" height="{at(height)}"{corner}/>'


def path(kind: str, points: Iterable[tuple[Decimal, Decimal]]) -> str:
    """A line through points."""
    steps = [f"{at(x)} {at(y)}" for x, y in points]
    return f'<path class="{kind}" d="M{" L".join(steps)}"/>'


def words(kind: str, x: Decimal, y: Decimal, text: str) -> str:
    """A line of text; `y` is its base line."""
    return f'<text class="{kind}" x="{at(x)}" y="{at(y)}">{escape(told(SCOPE, text))}</text>'


@lru_cache(maxsize=500)
def hatch(
    kind: str, x: Decimal, y: Decimal, width: Decimal, height: Decimal, gap: int = 6, falling: bool = False
) -> str:
    """Parallel lines at 45 degrees within a rectangle, as one path."""
    steps = []
    offset = Decimal(gap) / 2
    while offset < width + height:
        start = max(Decimal(0), offset - height)
        end = min(width, offset)
        low, high = offset - start, offset - end
        if falling:
            low, high = height - low, height - high
        steps.append(f"M{at(x + start)} {at(y + low)} L{at(x + end)} {at(y + high)}")
        offset += gap
    return f'<path class="{kind}" d="{" ".join(steps)}"/>'


Point = tuple[Decimal, Decimal]


def _aside(a: Point, b: Point) -> Point:
    """The unit vector to the left of the way from a to b."""
    dx, dy = b[0] - a[0], b[1] - a[1]
    far = (dx * dx + dy * dy).sqrt()
    return (-dy / far, dx / far)


def pipe(kind: str, way: Sequence[Point], wide: Decimal) -> str:
    """The outline of a pipe along its middle line, mitered where it turns.

    way  two points or more, no two next to each other the same, no turn right back
    """
    sides = [_aside(a, b) for a, b in pairwise(way)]
    edges: list[tuple[Point, Point]] = []
    for at_point, before, after in zip(way, [sides[0], *sides], [*sides, sides[-1]], strict=True):
        far = wide / 2 / (1 + before[0] * after[0] + before[1] * after[1])
        x, y = (before[0] + after[0]) * far, (before[1] + after[1]) * far
        edges.append(((at_point[0] + x, at_point[1] + y), (at_point[0] - x, at_point[1] - y)))
    around = [one for one, _ in edges] + [other for _, other in reversed(edges)]
    return path(kind, [*around, around[0]])


def level_dimension(y: Decimal, left: Decimal, right: Decimal, reach: Decimal) -> list[str]:
    """A level dimension line with ticks, and witness lines up to `reach`."""
    return [
        line("thin", left, y, right, y),
        tick("tick", left, y),
        tick("tick", right, y),
        line("witness", left, y + 4, left, reach),
        line("witness", right, y + 4, right, reach),
    ]


def tick(kind: str, x: Decimal, y: Decimal) -> str:
    """The short slanting stroke that ends a dimension line."""
    return line(kind, x - 3, y + 3, x + 3, y - 3)


def upright_dimension(x: Decimal, top: Decimal, bottom: Decimal, reach: Decimal) -> list[str]:
    """A vertical dimension line with ticks, and witness lines out to `reach`."""
    return [
        line("thin", x, top, x, bottom),
        tick("tick", x, top),
        tick("tick", x, bottom),
        line("witness", x - 4, top, reach, top),
        line("witness", x - 4, bottom, reach, bottom),
    ]


@dataclass(frozen=True, slots=True)
class Label:
    """Words that belong at a height; the classes say how they are set.

    name  what the text is of: behind it, or under it where one line is too long for the sheet
    """

    y: Decimal
    text: str
    kind: str = "label"
    name: str = ""


def cited(height: str, section: str, letters: int = LABEL_LETTERS) -> str:
    """Inches with the section that asks them, where both fit a label."""
    section = section.partition(";")[0].partition(",")[0].strip()
    for text in (f"{height} in, {section}", f"{height}, {section}"):
        if section and len(text) <= letters:
            return text
    return f"{height} in"


def named(height: str, name: str, letters: int = LABEL_LETTERS) -> str:
    """Inches and what they are of, where both fit a label."""
    text = f"{height} in {name}"
    return text if len(text) <= letters else f"{height} in"


def taped(value: Decimal) -> str:
    """Inches as a tape shows them where they fall on a sixteenth, else to a hundredth."""
    return eighths(value) if is_sixteenth(value) else plain(as_read(value, "in"), 28)


def found_taped(found: Decimal, asked: Decimal | None) -> str:
    """A length that was found, beside the least that is asked: never onto or over it where it is not.

    >>> found_taped(Decimal("0.0826"), Decimal("0.0825")), asked_taped(Decimal("0.0826"), Decimal("0.0825"))
    ('0.0826', '0.0825')
    """
    return taped(found) if asked is None else tape_least(found, asked, HUNDREDTHS)[0]


def asked_taped(found: Decimal | None, asked: Decimal) -> str:
    """The least length that is asked, never told below itself."""
    return eighths_up(asked) if found is None else tape_least(found, asked, HUNDREDTHS)[1]


def spread(heights: Sequence[Decimal], apart: Decimal, lowest: Decimal, highest: Decimal) -> list[Decimal]:
    """Heights moved just so far that none is nearer than `apart`, kept between two bounds where they fit."""
    placed: list[Decimal] = []
    for wanted in heights:
        placed.append(max(wanted, lowest, placed[-1] + apart if placed else lowest))
    bound = highest
    for index in range(len(placed) - 1, -1, -1):
        placed[index] = min(placed[index], bound)
        bound = placed[index] - apart
    return placed


def labels(
    given: Iterable[Label], from_x: Decimal, to_x: Decimal, apart: Decimal, lowest: Decimal, highest: Decimal
) -> list[str]:
    """Labels beside a drawing, pushed apart, each led to its height by a thin line."""
    lines = [
        (one, text, row) for one in sorted(given, key=lambda one: one.y)
        for row, text in enumerate(_lines(one, to_x))
    ]  # fmt: skip
    heights = spread([one.y + apart * row for one, _, row in lines], apart, lowest, highest)
    drawn = []
    for (one, text, row), y in zip(lines, heights, strict=True):
        if not row:
            drawn.append(path("leader", [(from_x, one.y), (to_x - 12, y), (to_x - 4, y)]))
        drawn.append(words(one.kind, to_x, y + Decimal("4.5"), text))
    return drawn


def _lines(label: Label, left: Decimal) -> tuple[str, ...]:
    """A label's lines: two where its text and its name, in the language spoken now, are too long for one."""
    if not label.name:
        return (_fitting(label.text, left),)
    whole = told(SCOPE, f"{label.text} {label.name}")
    return (whole,) if left + LETTER * len(whole) <= WIDTH else (label.text, label.name)


def _fitting(text: str, left: Decimal) -> str:
    """A label in the language spoken now; where that is too long for the sheet, its figure alone."""
    said, figure = told(SCOPE, text), _FIGURE.match(text)
    too_long = len(said) > len(text) and left + LETTER * len(said) > WIDTH
    return figure.group().strip() if too_long and figure and figure.group().strip() else said


def drawing(kind: str, height: Decimal, title: str, said: Iterable[str], parts: Iterable[str]) -> str:
    """The whole drawing, 328 units wide, named and told in sentences for those who cannot see it."""
    return (
        f'<svg class="drawing {kind}" role="img" viewBox="0 0 {at(WIDTH)} {at(height)}" '
        f'xmlns="http://www.w3.org/2000/svg"><title>{escape(told(SCOPE, title))}</title>'
        f"<desc>{escape(' '.join(told(SCOPE, one) for one in said))}</desc>"
        f"{''.join(parts)}</svg>"
    )
