"""Sizes of a paper's settings, and lines that its texts take, reckoned before they are laid out."""

from __future__ import annotations

import re
from functools import cache, lru_cache
from typing import NamedTuple

from .lettering import kept_whole, pieces, width
from .paper import Check, Drawing, Working

WIDE = {"letter": 564.0, "A4": 547.2}
PAGE = {"letter": 744.0, "A4": 793.9}
"""What stands between the margins of a page, across and down [pt]; as in certificate.css."""
_FRACTION = re.compile(r"[ \u00a0]?\b[0-9]{1,2}/[0-9]{1,2}\b")
"""Set as one sign, about as wide as a digit and a point."""


class Type(NamedTuple):
    """Sizes of a setting [pt]; as in certificate.css.

    tab    where what was found stands in a column of the list
    place  where a value stands in a column of figures
    tight  whether its parts stand close together
    runs   whether what was found follows its name at once, and a working its value, where that saves a line
    wide   what stands between the margins of its page, across
    """

    base: float
    figures: float
    listed: float
    small: float
    spoken: float
    tab: float
    place: float
    tight: bool
    runs: bool = False
    wide: float = WIDE["A4"]

    @property
    def column(self) -> float:
        """How wide a column of the list is."""
        return (self.wide - GUTTER) / 2

    @property
    def figured(self) -> float:
        """How wide a column of figures is, and a drawing."""
        return self.wide / 3 - BETWEEN


_CLOSE = Type(8.0, 7.0, 7.0, 7.0, 7.5, 106.5, 111.75, True)
TYPES = {
    "ample": Type(9.5, 8.8, 8.8, 8.4, 9.5, 133.5, 128.25, False),
    "open": Type(8.8, 8.2, 8.2, 8.0, 8.8, 124.5, 122.25, False),
    "roomy": Type(8.0, 7.5, 7.6, 7.4, 8.0, 115.5, 111.75, False),
    "close": _CLOSE,
    "close run-in": _CLOSE._replace(runs=True),
    "close numbers": _CLOSE,
    "close numbers run-in": _CLOSE._replace(runs=True),
}
GAP, HANG = 2.5, 5.6
"""The least space between a label or a name and its value; how far a row that runs on hangs [pt]."""
GUTTER, BETWEEN, WORKING = 10.0, 5.6, 7.6
"""Between the columns of the list, between those of figures, and a working at its largest [pt]."""
MARK = (0.86, 1.08)
"""What stands before a name in the list, of a code and of good practice [em]."""


@cache
def type_of(name: str, page: str) -> Type:
    """The sizes of a setting on a page.

    name  one of TYPES
    page  its size, one of WIDE
    """
    return TYPES[name]._replace(wide=WIDE[page])


@lru_cache(maxsize=20_000)
def _word(word: str) -> float:
    return width(word, 1)


@lru_cache(maxsize=4096)
def _spelled(text: str) -> tuple[float, float, tuple[tuple[float, float, float], ...]]:
    """How wide a text is in one line, its letters [em] and its boxes [pt], and the pieces that stay together.

    Of each piece: the space before it [em], its letters [em] and its box [pt].
    """
    text = _FRACTION.sub("0.", kept_whole(text))
    found = []
    for word in filter(None, text.split(" ")):
        gap = _word(" ")
        for letters, box in pieces(word):
            found.append((gap, _word(letters), box))
            gap = 0.0
    return sum(gap + em for gap, em, _ in found), sum(box for _, _, box in found), tuple(found)


def lines(text: str, size: float, across: float, begun: float = 0) -> int:
    """Lines that a text takes; the bold face is as wide as the regular one.

    size    of its letters [pt]
    across  how wide it is set [pt]
    begun   what its first line already holds [pt]
    """
    whole, boxes, spelled = _spelled(text)
    if begun + whole * size + boxes <= across:
        return 1
    room, along, many = across / size, begun / size, 1
    for gap, letters, box in spelled:
        long = letters + box / size
        if along and along + gap + long > room:
            many += 1
            along = long
        else:
            along += (gap if along else 0) + long
        if along > room:
            more = int(along // room)
            many, along = many + more, along - more * room
    return many


def check_lines(one: Check, type_: Type) -> int:
    """Lines of a check in the list of what meets."""
    usual = _beside(one, type_)
    return min(usual, _along(one, type_)) if type_.runs and usual > 1 else usual


def check_runs(one: Check, type_: Type) -> bool:
    """Whether what was found follows the name of a check at once."""
    return type_.runs and _along(one, type_) < _beside(one, type_)


def _beside(one: Check, type_: Type) -> int:
    """Lines where names have a column of their own: of what was found, or of a name that is longer."""
    size, tab = type_.listed, type_.tab
    told = lines(_found(one), size, type_.column - tab)
    if not one.wide:
        return told
    return max(told, lines(one.name, size, tab - GAP - size * MARK[one.advice]))


def _along(one: Check, type_: Type) -> int:
    size, mark = type_.listed, type_.listed * MARK[one.advice]
    return lines(f"{one.name}  {_found(one)}", size, type_.column - HANG - GAP, max(0.0, mark - HANG))


def _found(one: Check) -> str:
    said = f"{', ' if one.found else ''}{one.bound} {one.limit}" if one.limit else ""
    return f"{one.found}{said} {one.cite}"


def between(one: Working, type_: Type) -> str:
    """What stands between a figure's label and its value: a tab, spaces, or a new line and a tab."""
    size, across = type_.figures, type_.figured
    value = size * _word(f"  {_FRACTION.sub('0.', one.value)}{one.unit}")
    wide = size * _word(one.label)
    reaches = type_.place + value > across
    if wide > across or (wide + GAP <= type_.place and not reaches):
        return "\t"
    follows = (type_.tight or reaches) and wide + value <= across
    return "  " if follows else "\n\t"


def figure_lines(one: Working, type_: Type, numbers_only: bool) -> int:
    """Lines of a figure and its working."""
    usual = _below(one, type_, numbers_only)
    return min(usual, _run(one, type_, numbers_only)) if type_.runs else usual


def figure_runs(one: Working, type_: Type, numbers_only: bool) -> bool:
    """Whether value and working follow the label of a figure at once."""
    return type_.runs and _run(one, type_, numbers_only) < _below(one, type_, numbers_only)


def _below(one: Working, type_: Type, numbers_only: bool) -> int:
    """Lines where the working stands below the value."""
    size, across = type_.figures, type_.figured
    if one.worded:
        return lines(f"{one.label}  {one.says}", size, across)
    below = lines(_worked(one, numbers_only), min(size, WORKING), across) if one.worked or one.says else 0
    if "\n" in between(one, type_):
        return 2 + below
    return lines(f"{one.label} {one.value}{one.unit}", size, across) + below


def _run(one: Working, type_: Type, numbers_only: bool) -> int:
    unit = one.unit.replace(" ", "\u00a0")
    said = f"{one.label}  {one.value}{unit}  {_worked(one, numbers_only)}"
    return _below(one, type_, numbers_only) if one.worded else lines(said, type_.figures, type_.figured - GAP)


def _worked(one: Working, numbers_only: bool) -> str:
    return f"{one.worked} {one.says}" if numbers_only else f"{one.formula}: {one.worked} {one.says}"


def drawing_lines(one: Drawing, type_: Type) -> int:
    """Lines of a drawing's caption."""
    return lines(" ".join(one.sentences), type_.figures, type_.figured)
