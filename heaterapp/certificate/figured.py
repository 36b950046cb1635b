"""Figures and their drawings in columns of about the same length."""

from __future__ import annotations

import math
from collections.abc import Sequence
from itertools import pairwise

from markupsafe import Markup

from .paper import Drawing, Working
from .wrapping import Type, between, drawing_lines, figure_lines

DRAWN_SPACE = 8.0
"""What stands above and below a drawing and its caption [pt]."""


def before_value(one: Working, type_: Type) -> Markup:
    """What stands between a figure's label and its value: a tab, or what a label does that reaches beyond it.

    type_  how the paper is set: where it is tight, a value may follow its label at once
    """
    return Markup(between(one, type_))  # noqa: S704 - a tab, spaces or a new line


def in_columns(
    figures: Sequence[Working],
    many: int,
    type_: Type,
    brief: bool = False,
    under: Sequence[Drawing] = (),
    level: bool = False,
) -> list[Sequence[Working]]:
    """Figures in so many columns of about the same length, in their order.

    type_  how the paper is set
    brief  whether the formulas in symbols are left out
    under  a drawing below each of the first columns, which are as much shorter
    level  whether those begin at one height
    """
    long = [figure_lines(one, type_, brief) for one in figures]
    drawn = [_of_drawing(one, type_) for one in under]
    drawn = [max(drawn)] * len(drawn) if drawn and level else drawn
    taken = drawn + [0] * (many - len(under))
    most = math.ceil(sum(long) / many)
    while len(ends := _filled(long, most, taken)) <= many or ends[-1] < len(long):
        most += 1
    return [figures[start:end] for start, end in pairwise(ends)]


def _filled(long: Sequence[int], most: int, taken: Sequence[int]) -> list[int]:
    """Fill columns one after the other up to so many lines; returns where each ends."""
    ends = [0]
    for gone in taken:
        at, room = ends[-1], most - gone
        while at < len(long) and long[at] <= room:
            room -= long[at]
            at += 1
        ends.append(at)
    return ends


def _of_drawing(one: Drawing, type_: Type) -> int:
    """Lines that a drawing takes with its caption."""
    space = one.share * type_.figured + DRAWN_SPACE
    return math.ceil(space / (type_.figures * 1.15)) + drawing_lines(one, type_)
