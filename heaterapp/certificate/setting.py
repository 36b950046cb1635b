"""How a paper is set: in the largest type and with the widest leading that leave it its usual two pages."""

from __future__ import annotations

from collections.abc import Iterator
from typing import NamedTuple

from .heights import COLUMNS, High
from .paper import Paper
from .parts import Heights, heights
from .wrapping import PAGE, TYPES

USUAL_PAGES = 2
LEAST = {"open": 1.22, "roomy": 1.14, "close": 1.09, "close numbers": 1.04}
"""The least leading of a setting. The last one leaves the formulas in symbols to the report attached."""
MOST, SPREAD = 1.4, 0.15
"""The most leading of a paper, and by how much that of its list may be more or less."""
TIGHTER = 0.05
"""By so much the leading is less when a paper took a page more than was reckoned."""
SURE = 10.0
"""What is left at a page's foot for what was reckoned too low [pt]."""
LEADINGS = (1.3, 1.25, 1.2, 1.15)
"""Those tried on a paper of more pages."""
SMALL, LAST = {"roomy": 0.0, "close": 0.04, "close numbers": 0.08}, 0.3
"""How much of a page may rather be left white than type set smaller; and what white counts on the last."""
LEAST_ROW = 90.0
"""So high is the part of the list that begins on a page it shares [pt]."""
LEAST_LEFT, HEADS = 24.0, 6.0
"""Lines of the list that stand with the signatures; and those of its heads, on both sides."""


class Setting(NamedTuple):
    """One way to set a paper.

    name     its type, one of TYPES
    leading  of its text
    listed   leading of the list of what meets
    rows     how much of that list stands in each part but the last, between which a page may end: lines
    drawn    where drawings stand: three in a `row` below the figures, fewer below the first columns;
             each `under` its own column; `late`, after what is not here and what was assumed; or there
             with their figures, `apart`
    long     whether it is for a paper of more than the usual pages
    """

    name: str = "roomy"
    leading: float = 1.2
    listed: float = 1.2
    rows: tuple[float, ...] = ()
    drawn: str = "row"
    long: bool = False


def settings(paper: Paper) -> Iterator[Setting]:
    """The settings to try on a paper, the best first; all but the last two are for the usual pages."""
    room = PAGE[paper.page_size] - SURE
    for name, drawn in _arrangements(paper):
        least = LEAST[name]
        found = _of_two_pages(heights(paper, name, drawn), room, least)
        if found:
            leading, listed = (round(one, 3) for one in found)
            yield Setting(name, leading, listed, drawn=drawn)
            if min(leading, listed) > least + TIGHTER:
                yield Setting(name, round(leading - TIGHTER, 3), round(listed - TIGHTER, 3), drawn=drawn)
    for share in (1, 0.8):
        tried = (
            _going_on(heights(paper, name, drawn), leading, room, Setting(name, drawn=drawn), share)
            for name in SMALL
            for drawn in ("row", "late", "apart")
            for leading in LEADINGS
        )
        yield min(tried, key=lambda one: one[0])[1]


def _arrangements(paper: Paper) -> Iterator[tuple[str, str]]:
    for name in LEAST:
        yield name, "row"
    if len(paper.drawings) == COLUMNS:
        yield name, "under"
    for name in ("close", "close numbers"):
        for drawn in ("late", "apart") if paper.drawings else ("apart",):
            yield name, drawn


def _of_two_pages(high: Heights, room: float, least: float) -> tuple[float, float] | None:
    """The leading of the first page and of the list on the second; none where that takes more pages."""
    apart = _widest(high.first, room), _widest(high.last, room)
    if min(apart) >= least:
        both = min(apart) + SPREAD
        return min(apart[0], both, MOST), min(apart[1], both, MOST)
    # What is not here may go on at the head of the second page.
    one = min(_widest(high.first.plus(high.last), 2 * room), _widest(high.whole, room), apart[1], MOST)
    return (one, one) if one >= least else None


def _widest(high: High, room: float) -> float:
    return (room - high.fixed) / high.leaded if high.leaded else MOST


def _going_on(
    high: Heights, leading: float, room: float, setting: Setting, share: float
) -> tuple[tuple[int, float], Setting]:
    """A paper of more pages, laid out in numbers: how many pages and how much white, and its setting.

    share  how much of what is reckoned to be left where the list begins is taken
    """
    at, worst = 0.0, 0.0
    for part, torn in high.flow:
        tall = part.at(leading)
        if not torn and at % room + tall > room:
            worst = max(worst, room - at % room)
            at += room - at % room
        at += tall
    left = share * (room - at % room) - SURE
    if left < LEAST_ROW:
        worst = max(worst, room - at % room)
        at, left = at + room - at % room, room
    line, end = TYPES[setting.name].listed * leading / 2, high.end.at(leading)
    lines, rows = high.listed.at(leading) / line, []
    while lines * line + end > left and lines > LEAST_LEFT:
        rows.append(round(min(left / line - HEADS, lines - LEAST_LEFT), 1))
        lines, at, left = lines - rows[-1] + HEADS, at + room - at % room, room
    at += lines * line + end
    white = worst + LAST * (room - at % room)
    pages = int(at // room) + 1
    return (pages, white / room + SMALL[setting.name]), setting._replace(
        leading=leading, listed=leading, rows=tuple(rows), long=True
    )
