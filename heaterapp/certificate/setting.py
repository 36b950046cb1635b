"""How a paper is set: in the largest type and with the widest leading that leave it its usual two pages."""

from __future__ import annotations

from collections.abc import Iterator
from functools import cache
from typing import NamedTuple

from .heights import AGAIN, COLUMNS, ROW, High
from .paper import Paper
from .parts import Heights, heights, is_brief
from .wrapping import PAGE, TYPES

USUAL_PAGES = 2
LEAST = {
    "ample": 1.25, "open": 1.22, "roomy": 1.14, "close": 1.07, "close run-in": 1.07, "close numbers": 1.04,
    "close numbers run-in": 1.04,
}  # fmt: skip
"""The least leading of a setting. The last two leave the formulas in symbols to the report on record."""
MOST, SPREAD = 1.4, 0.15
"""The most leading of a paper, and by how much that of its list may be more or less."""
TIGHTER, BARELY_LESS = 0.05, 0.004
"""By so much, and at least so little, the leading is less when a paper took a page more than was reckoned."""
SURE, BARELY = 8.0, 3.0
"""What is left at a page's foot for what was reckoned too low; and where a paper has no other way [pt]."""
LEADINGS = (1.3, 1.25, 1.2, 1.15)
"""Those tried on a paper of more pages."""
SMALL, LAST = {"roomy": 0.0, "close": 0.04, "close numbers": 0.08}, 0.3
"""How much of a page may rather be left white than type set smaller; and what white counts on the last."""
LEAST_ROW, WHITE = 60.0, 60.0
"""How high is the part of the list that begins on a page it shares; and white not worth tearing it [pt]."""
TORN = 2.0
"""Lines left white at a page's foot where what is not here goes on, three of which stand together."""
LEAST_LEFT = 12.0
"""Lines of the list that stand with the signatures."""
TRIED, LESS = 4, 0.012
"""So many leadings are tried on a list that goes on, each by that share less."""


class Setting(NamedTuple):
    """One way to set a paper.

    name     its type, one of TYPES
    leading  of its text
    listed   leading of the list of what meets
    rows     how much of that list each part but the last has room for, between which a page ends: lines
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
    room = PAGE[paper.page_size]
    reckoned = cache(lambda name, drawn: heights(paper, name, drawn))
    for sure in (SURE, BARELY):
        for name, drawn in _arrangements(paper):
            high, least = reckoned(name, drawn), LEAST[name]
            found = _of_two_pages(high, room - sure, least, TYPES[name].listed)
            if found:
                leading, listed, rows = found
                first = Setting(name, round(leading, 3), round(listed, 3), rows, drawn)
                yield first
                less = min(TIGHTER, min(leading, listed) - least)
                if less > BARELY_LESS:
                    yield first._replace(leading=round(leading - less, 3), listed=round(listed - less, 3))
    room -= SURE
    for share in (1, 0.8):
        tried = (
            _going_on(reckoned(name, drawn), leading, room, Setting(name, drawn=drawn), share)
            for name in SMALL
            for drawn in ("row", "late", "apart")
            for leading in LEADINGS
        )
        yield min(tried, key=lambda one: one[0])[1]


def _arrangements(paper: Paper) -> Iterator[tuple[str, str]]:
    for name in LEAST:
        yield name, "row"
        if (is_brief(name) or TYPES[name].runs) and len(paper.drawings) == COLUMNS:
            yield name, "under"
        if TYPES[name].tight:
            for drawn in ("late", "apart") if paper.drawings else ("apart",):
                yield name, drawn


def _of_two_pages(
    high: Heights, room: float, least: float, size: float
) -> tuple[float, float, tuple[float, ...]] | None:
    """The leading of the text and of the list, and what of it stands on the first page.

    size     of the list's letters [pt]
    returns  None where that takes more pages
    """
    whole, end = _widest(high.whole, room), _widest(high.last, room)
    apart = _widest(high.first, room), end
    alone = None
    if min(apart) >= least:
        both = min(apart) + SPREAD
        alone = min(apart[0], both, MOST), min(apart[1], both, MOST), ()
        if room - high.first.at(alone[0]) <= WHITE:
            return alone
    # The list may begin on the first page, or what is not here go on at the head of the second.
    torn = _torn(high, room, min(whole, MOST), size)
    if torn and torn[0] >= least:
        return torn
    one = min(_widest(high.first.plus(high.last), 2 * room), whole, end, MOST)
    if alone or one < least:
        return alone
    sure = _widest(high.first.plus(high.last), 2 * room - _left_white(high, one, room, size))
    one = max(least, min(one, sure))
    return one, one, ()


def _left_white(high: Heights, leading: float, room: float, size: float) -> float:
    """What stays white at the first page's foot where what is not here goes on at the head of the second."""
    left = room - high.whole.at(leading)
    if high.first.at(leading) <= room:
        return 0.0
    at_most = TORN * size * leading if high.absent.at(leading) > left else left - high.absent.at(leading)
    return min(max(left, 0.0), at_most)


def _torn(
    high: Heights, room: float, most: float, size: float
) -> tuple[float, float, tuple[float, ...]] | None:
    """The leading of a paper whose list begins on its first page, and lines of it there."""
    if high.drawings.fixed or high.apart or not high.listed.leaded:
        return None
    again = High(AGAIN, ROW)
    leading = min(_widest(high.first.plus(high.last, again), 2 * room), most)
    for _ in range(TRIED):
        line, head = size * leading, high.list_head.at(leading)
        tall = high.listed.at(leading) - head
        row = min(room - high.first.at(leading) - head, tall - LEAST_LEFT * line)
        if row < LEAST_ROW:
            return None
        rest = line * high.run.height_of_row(high.run.row(0, row / line))
        if again.plus(high.end).at(leading) + rest <= room:
            return leading, leading, (round(row / line, 1),)
        leading *= 1 - LESS
    return None


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
    line, end = TYPES[setting.name].listed * leading, high.end.at(leading)
    rows, begins, head = [], 0, high.list_head.at(leading)
    while True:
        tall = line * high.run.height_of_row(begins)
        row = min(left - head, tall - LEAST_LEFT * line)
        if head + tall + end <= left or row < 2 * line:
            break
        rows.append(round(row / line, 1))
        begins = high.run.row(begins, rows[-1])
        at, left, head = at + room - at % room, room, AGAIN * leading + ROW
    at += head + tall + end
    white = worst + LAST * (room - at % room)
    pages = int(at // room) + 1
    return (pages, white / room + SMALL[setting.name]), setting._replace(
        leading=leading, listed=leading, rows=tuple(rows), long=True
    )
