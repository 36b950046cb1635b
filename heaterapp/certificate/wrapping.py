"""Sizes of a paper's settings, and lines that its texts take, reckoned before they are laid out."""

from __future__ import annotations

import re
from functools import lru_cache
from typing import NamedTuple

from .lettering import width
from .paper import Check, Drawing, Working

WIDE, PAGE = 548.0, {"letter": 742.0, "A4": 791.9}
"""What stands between the margins of a page, across and down [pt]; as in certificate.css."""
_FRACTION = re.compile(r" ?[0-9]+/[0-9]+")
"""Set as one sign, about as wide as a digit and a point."""


class Type(NamedTuple):
    """Sizes of a setting [pt]; as in certificate.css.

    tab    where what was found stands in a column of the list
    place  where a value stands in a column of figures
    tight  whether its parts stand close together
    """

    base: float
    figures: float
    listed: float
    small: float
    spoken: float
    tab: float
    place: float
    tight: bool


TYPES = {
    "open": Type(8.8, 8.2, 8.2, 8.0, 8.8, 124.5, 122.25, False),
    "roomy": Type(8.0, 7.5, 7.6, 7.4, 8.0, 115.5, 111.75, False),
    "close": Type(8.0, 7.0, 7.0, 7.0, 7.5, 106.5, 111.75, True),
    "close numbers": Type(8.0, 7.0, 7.0, 7.0, 7.5, 106.5, 111.75, True),
}
GAP = 2.5
"""The least space between a label and its value [pt]."""
LISTED, FIGURED, WORKING = 268.0, 175.0, 7.6
"""A column of the list, one of figures, and a working at its largest [pt]."""


@lru_cache(maxsize=20_000)
def _word(word: str) -> float:
    return width(word, 1)


def lines(text: str, size: float, across: float, begun: float = 0) -> int:
    """Lines that a text takes; the bold face is as wide as the regular one.

    size    of its letters [pt]
    across  how wide it is set [pt]
    begun   what its first line already holds [pt]
    """
    room, along, many, space = across / size, begun / size, 1, _word(" ")
    for word in filter(None, text.split(" ")):
        long = _word(word)
        if along and along + space + long > room:
            many += 1
            along = long
        else:
            along += (space if along else 0) + long
        if along > room:
            more = int(along // room)
            many, along = many + more, along - more * room
    return many


def check_lines(one: Check, size: float, tab: float, across: float) -> int:
    """Lines of a check in the list of what meets."""
    said = f"{', ' if one.found else ''}{one.bound} {one.limit}" if one.limit else ""
    begun = width(f"● {one.name}  ", size) - tab if one.wide else 0
    return lines(f"{one.found}{said} {one.cite}", size, across - tab, max(0, begun))


def between(one: Working, type_: Type) -> str:
    """What stands between a figure's label and its value: a tab, spaces, or a new line and a tab."""
    size = type_.figures
    value = width(f"  {_FRACTION.sub('0.', one.value)}{one.unit}", size)
    wide = width(one.label, size)
    reaches = type_.place + value > FIGURED
    if wide > FIGURED or (wide + GAP <= type_.place and not reaches):
        return "\t"
    follows = (type_.tight or reaches) and wide + value <= FIGURED
    return "  " if follows else "\n\t"


def figure_lines(one: Working, type_: Type, numbers_only: bool) -> int:
    """Lines of a figure and its working."""
    size = type_.figures
    said = f"{one.worked} {one.says}" if numbers_only else f"{one.formula}: {one.worked} {one.says}"
    below = lines(said, min(size, WORKING), FIGURED) if one.worked or one.says else 0
    if "\n" in between(one, type_):
        return 2 + below
    return lines(f"{one.label} {one.value}{one.unit}", size, FIGURED) + below


def drawing_lines(one: Drawing, size: float) -> int:
    """Lines of a drawing's caption."""
    return lines(" ".join(one.sentences), size, FIGURED)
