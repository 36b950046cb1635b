"""How tightly a paper is set, and what is broken into columns: so that a usual job is two pages."""

from __future__ import annotations

import math
from collections.abc import Sequence
from itertools import pairwise
from typing import NamedTuple

from markupsafe import Markup

from .columns import BOLDER
from .lettering import width
from .paper import Drawing, Paper, Working

SETTINGS = (("roomy", 90), ("close", 112), ("close numbers", None))
"""The settings of a paper, each with the checks and figures beyond which it is not tried. The next is, when
one takes more than the usual pages. The last leaves the formulas in symbols to the report attached."""
USUAL_PAGES = 2
ONE_ROW, ROW_LINES = 1000, 36
"""The list of what meets is one row, which stands whole on its page; or, where that makes more than the usual
pages, rows of so many lines, between which a page may end."""
COLUMNS = 3
LABEL_PT, WORKING_PT = 7.5, 7.0
"""A figure's label at its largest, and its working; as in certificate.css."""
COLUMN, PLACE, LINE_PT = 174.0, 118.0, 8.2
"""A column of figures, a label's place in it, and a line's height about [pt]."""


class Setting(NamedTuple):
    """One way to set a paper.

    name       how tightly: one of SETTINGS
    row_lines  lines of a row of the list of what meets
    drawn      where drawings stand: three in a `row` below the figures, fewer below the first columns; each
               `under` its own column; or `late`, in a row after what is not here and what was assumed
    """

    name: str = "roomy"
    row_lines: int = ONE_ROW
    drawn: str = "row"


def tried(paper: Paper) -> list[Setting]:
    """The settings to try on a paper, the roomiest first."""
    said = len(paper.figures) + sum(len(topic.checks) for topic in paper.met)
    return [Setting(name) for name, most in SETTINGS if most is None or said <= most]


TIGHTEST = SETTINGS[-1][0]
UNDER = Setting(TIGHTEST, drawn="under")
"""Tried where a paper is but a page too long."""
GOES_ON = (Setting(TIGHTEST, ROW_LINES), Setting(TIGHTEST, ROW_LINES, "late"))
"""The settings of a paper that takes more than the usual pages."""


def before_value(one: Working, place: float, column: float, close: bool) -> Markup:
    """What stands between a figure's label and its value: a tab, or what a label does that reaches beyond it.

    place   where values stand in a column of figures [pt]
    column  how wide it is [pt]
    close   whether a value may follow its label at once, rather than on the next line
    """
    wide = width(one.label + " ", LABEL_PT)
    if not place < wide <= column:
        return Markup("\t")
    follows = close and wide + width(f"  {one.value}{one.unit}", LABEL_PT) * BOLDER <= column
    return Markup("  ") if follows else Markup("\n\t")


def in_columns(
    figures: Sequence[Working],
    many: int,
    numbers_only: bool = False,
    under: Sequence[Drawing] = (),
    level: bool = False,
    close: bool = False,
) -> list[Sequence[Working]]:
    """Figures in so many columns of about the same length, in their order.

    under  a drawing below each of the first columns, which are as much shorter
    level  whether those begin at one height
    close  as `before_value` has it
    """
    lines = [_lines(one, numbers_only, close) for one in figures]
    drawn = [_of_drawing(one) for one in under]
    drawn = [max(drawn)] * len(drawn) if drawn and level else drawn
    taken = drawn + [0] * (many - len(under))
    most = math.ceil(sum(lines) / many)
    while len(ends := _filled(lines, most, taken)) <= many or ends[-1] < len(lines):
        most += 1
    return [figures[start:end] for start, end in pairwise(ends)]


def _filled(lines: Sequence[int], most: int, taken: Sequence[int]) -> list[int]:
    """Fill columns one after the other up to so many lines; returns where each ends."""
    ends = [0]
    for gone in taken:
        at, room = ends[-1], most - gone
        while at < len(lines) and lines[at] <= room:
            room -= lines[at]
            at += 1
        ends.append(at)
    return ends


def _of_drawing(one: Drawing) -> int:
    """Lines that a drawing takes with its caption."""
    said = width(" ".join(one.sentences), WORKING_PT)
    return math.ceil(one.share * COLUMN / LINE_PT + said / COLUMN) + 1


def _lines(one: Working, numbers_only: bool, close: bool) -> int:
    said = one.worked + one.says + ("" if numbers_only or not one.worked else f"{one.formula}: ")
    label = 2 if width(one.label + " ", LABEL_PT) > COLUMN else 1
    label += "\n" in before_value(one, PLACE, COLUMN, close)
    return label + math.ceil(width(said, WORKING_PT) / COLUMN)
