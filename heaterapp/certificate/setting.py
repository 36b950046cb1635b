"""How tightly a paper is set, and what is broken into columns: so that a usual job is two pages."""

from __future__ import annotations

import math
from collections.abc import Sequence
from itertools import pairwise

from .lettering import width
from .paper import Paper, Working

SETTINGS = (("roomy", 90), ("close", 112), ("close numbers", None))
"""The settings of a paper, each with the checks and figures beyond which it is not tried. The next is, when
one takes more than the usual pages. The last leaves the formulas in symbols to the report attached."""
USUAL_PAGES = 2
LABEL_PT, WORKING_PT = 7.5, 7.0
"""A figure's label at its largest, and its working; as in certificate.css."""
COLUMN, PLACE = 174.0, 118.0
"""A column of figures and a label's place in it [pt]."""


def tried(paper: Paper) -> list[str]:
    """The settings to try on a paper, the roomiest first."""
    met = sum(len(topic.checks) for row in paper.columns for topics in row for topic in topics)
    return [name for name, most in SETTINGS if most is None or len(paper.figures) + met <= most]


def reaches(label: str, place: float, column: float) -> bool:
    """Whether a label is wider than its place, not than its column [pt]: its value then takes the next line.

    A label wider than its column goes on there by itself.
    """
    return place < width(label + " ", LABEL_PT) <= column


def in_columns(
    figures: Sequence[Working], many: int, numbers_only: bool = False
) -> list[Sequence[Working]]:
    """Figures in so many columns of about the same length, in their order."""
    lines = [_lines(one, numbers_only) for one in figures]
    ends, most = [0], math.ceil(sum(lines) / many)
    while not _fill(lines, most, many, ends):
        most += 1
    return [figures[start:end] for start, end in pairwise(ends)]


def _fill(lines: Sequence[int], most: int, many: int, ends: list[int]) -> bool:
    """Fill columns one after the other up to so many lines; `ends` is where each ends."""
    ends[1:] = []
    so_far = 0
    for at, one in enumerate(lines):
        if so_far + one > most and so_far:
            ends.append(at)
            so_far = 0
        so_far += one
    ends.append(len(lines))
    return len(ends) <= many + 1


def _lines(one: Working, numbers_only: bool) -> int:
    said = one.worked + one.says + ("" if numbers_only or not one.worked else f"{one.formula}: ")
    label = 1 + (width(one.label + " ", LABEL_PT) > PLACE)
    return label + math.ceil(width(said, WORKING_PT) / COLUMN)
