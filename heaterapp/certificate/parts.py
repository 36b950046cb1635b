"""A paper's parts in the order in which they stand, each as high as it is reckoned to be."""

from __future__ import annotations

from typing import NamedTuple

from .columns import Run, measured
from .heights import (
    NONE,
    High,
    above_high,
    drawings_high,
    end_high,
    figures_high,
    head_high,
    list_head,
    list_high,
    rest_high,
)
from .paper import Paper
from .wrapping import type_of


def is_brief(name: str) -> bool:
    """Whether a setting leaves the formulas in symbols to the report on record."""
    return "numbers" in name.split()


class Heights(NamedTuple):
    """The parts of a paper.

    above     what is open, before the figures, by what stands together of it
    absent    what is not here, in which a page may end
    assumed   what was assumed, which stands together
    drawings  those that stand after it
    listed    what meets
    apart     whether figures stand after the rest
    list_head  what stands above the list
    run       the entries of the list
    """

    head: High
    above: tuple[High, ...]
    figures: High
    absent: High
    assumed: High
    drawings: High
    listed: High
    end: High
    apart: bool
    list_head: High
    run: Run

    @property
    def whole(self) -> High:
        """What must stand on the first of two pages."""
        return self.head.plus(*self.above, NONE if self.apart else self.figures)

    @property
    def rest(self) -> High:
        """What is not here and what was assumed."""
        return self.absent.plus(self.assumed)

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
        above = tuple((one, False) for one in self.above)
        return (self.head, False), *above, *between, (self.drawings, False)


def heights(paper: Paper, name: str, drawn: str) -> Heights:
    """How high the parts of a paper are in a setting.

    name, drawn  as `Setting` has them
    """
    type_, brief = type_of(name, paper.page_size), is_brief(name)
    run = measured(paper.met, type_)
    return Heights(
        head_high(paper, type_),
        above_high(paper, type_),
        figures_high(paper, type_, drawn, brief),
        *rest_high(paper, type_),
        drawings_high(paper, type_) if drawn == "late" else NONE,
        list_high(run, type_),
        end_high(paper, type_),
        drawn == "apart",
        list_head(type_),
        run,
    )
