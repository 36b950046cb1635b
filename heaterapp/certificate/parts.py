"""A paper's parts in the order in which they stand, each as high as it is reckoned to be."""

from __future__ import annotations

from typing import NamedTuple

from .heights import (
    NONE,
    High,
    above_high,
    drawings_high,
    end_high,
    figures_high,
    head_high,
    list_high,
    rest_high,
)
from .paper import Paper
from .wrapping import TYPES


class Heights(NamedTuple):
    """The parts of a paper.

    above     what is open, before the figures
    rest      what is not here and what was assumed
    drawings  those that stand after it
    listed    what meets
    apart     whether figures stand after the rest
    """

    head: High
    above: High
    figures: High
    rest: High
    drawings: High
    listed: High
    end: High
    apart: bool

    @property
    def whole(self) -> High:
        """What must stand on the first of two pages."""
        return self.head.plus(self.above, NONE if self.apart else self.figures)

    @property
    def first(self) -> High:
        """What stands on the first of two pages, or goes on at the head of the second."""
        return self.whole.plus(self.rest)

    @property
    def last(self) -> High:
        """What stands on the second."""
        return self.drawings.plus(self.figures if self.apart else NONE, self.listed, self.end)

    @property
    def flow(self) -> tuple[tuple[High, bool], ...]:
        """Each part above the list, and whether it may be torn between pages."""
        figures, rest = (self.figures, False), (self.rest, True)
        between = (rest, figures) if self.apart else (figures, rest)
        return (self.head, False), (self.above, True), *between, (self.drawings, False)


def heights(paper: Paper, name: str, drawn: str) -> Heights:
    """How high the parts of a paper are in a setting.

    name, drawn  as `Setting` has them
    """
    type_ = TYPES[name]
    return Heights(
        head_high(paper, type_),
        above_high(paper, type_),
        figures_high(paper, name, drawn),
        rest_high(paper, type_),
        drawings_high(paper, name) if drawn == "late" else NONE,
        list_high(paper.met, type_),
        end_high(paper, type_),
        drawn == "apart",
    )
