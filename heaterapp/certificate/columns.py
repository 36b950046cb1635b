"""The list of what meets in rows of two columns alike in height: a page ends between rows."""

from __future__ import annotations

from collections.abc import Sequence
from itertools import accumulate
from typing import NamedTuple

from .paper import Check, Topic
from .saying import own
from .wrapping import Type, check_lines, lines

CONTINUED = "{topic}, continued"
LETTER, NAME_WIDTH = 7.0, 104.0
"""The smallest letters of the list, and how wide a name may be with its mark, in them [pt]."""
TOPIC_LINES = 1.3
"""A topic's heading, in lines."""
CAUTION_SPACE = 0.4
"""What stands around a caution, in lines."""
HAIRLINE = 0.035
"""The rule below an entry, where there is one, in lines."""
WHITE = 0.2
"""How much of a row may stay white rather than tear a topic between pages."""
TORN, LONE = 1.2, 1.5
"""By so many lines the columns may rather differ than tear a topic, or leave one check of it by itself."""

Columns = tuple[tuple[Topic, ...], ...]


class Entry(NamedTuple):
    """One check of the list and its topic.

    first  whether it is the first of its topic
    lines  lines that it takes by itself
    head   lines of its topic's heading, and of the cautions there where the topic begins
    """

    topic: Topic
    check: Check
    first: bool
    lines: float
    head: float


def _entries(topic: Topic, type_: Type) -> list[Entry]:
    size = type_.listed
    begins = TOPIC_LINES + sum(
        lines(f"{lead} {text}", size, type_.column - 6) + CAUTION_SPACE for lead, text in topic.cautions
    )
    return [
        Entry(topic, check, not at, check_lines(check, type_), TOPIC_LINES if at else begins)
        for at, check in enumerate(topic.checks)
    ]


class Run:
    """Entries in their order, of which any part can be measured at once."""

    def __init__(self, entries: Sequence[Entry], below: float = 0) -> None:
        self.entries = entries
        each = (below + one.lines + (one.head if one.first else 0) for one in entries)
        self.high = [0.0, *accumulate(each)]

    def height(self, begins: int, ends: int) -> float:
        """Lines of a column with these entries."""
        if begins == ends:
            return 0.0
        one = self.entries[begins]
        return self.high[ends] - self.high[begins] + (0 if one.first else one.head)

    def split(self, begins: int, ends: int) -> tuple[float, int]:
        """Where the second column of a row best begins, and the lines of the higher one."""
        at = min(range(begins + 1, ends + 1), key=lambda one: (self._cost(begins, one, ends), -one))
        return max(self.height(begins, at), self.height(at, ends)), at

    def _cost(self, begins: int, at: int, ends: int) -> float:
        """How high the columns are when the second begins there, and how badly that tears a topic."""
        high = max(self.height(begins, at), self.height(at, ends))
        if at == ends or self.entries[at].first:
            return high
        topic = self.entries[at].topic
        above = at - begins > 1 and self.entries[at - 2].topic is topic
        below = ends - at > 1 and self.entries[at + 1].topic is topic
        return high + TORN + (0 if above and below else LONE)

    def height_of_row(self, begins: int) -> float:
        """Lines of a row with all that is left."""
        return self.split(begins, len(self.entries))[0] if begins < len(self.entries) else 0.0

    def row(self, begins: int, room: float) -> int:
        """Where a row of so many lines ends: full, or before a topic where that leaves little white."""
        low, high = begins + 1, len(self.entries)
        while low < high:
            middle = (low + high + 1) // 2
            low, high = (middle, high) if self.split(begins, middle)[0] <= room else (low, middle - 1)
        if low == len(self.entries):
            return low
        for at in range(low, begins, -1):
            if room - self.split(begins, at)[0] > WHITE * room:
                break
            if self.entries[at].first:
                return at
        return low


def measured(topics: Sequence[Topic], type_: Type) -> Run:
    """The entries of the list with their lines."""
    below = 0 if type_.tight else HAIRLINE
    return Run([one for topic in topics for one in _entries(topic, type_)], below)


def in_rows(topics: Sequence[Topic], type_: Type, ends: Sequence[float] = ()) -> tuple[Columns, ...]:
    """Topics in rows, each in one or two columns.

    type_  the sizes they are set in
    ends   lines that each row but the last has room for
    """
    run, rows, at = measured(topics, type_), [], 0
    entries = run.entries
    for room in (*ends, None):
        if at == len(entries):
            break
        end = len(entries) if room is None else run.row(at, room)
        middle = run.split(at, end)[1]
        rows.append(tuple(filter(None, (_by_topic(entries[at:middle]), _by_topic(entries[middle:end])))))
        at = end
    return tuple(rows)


def _by_topic(entries: Sequence[Entry]) -> tuple[Topic, ...]:
    found: list[tuple[Entry, list[Check]]] = []
    for one in entries:
        if not found or found[-1][0].topic is not one.topic:
            found.append((one, []))
        found[-1][1].append(one.check)
    return tuple(
        Topic(
            first.topic.title if first.first else own(CONTINUED, topic=first.topic.title),
            tuple(checks),
            first.topic.cautions if first.first else (),
        )
        for first, checks in found
    )
