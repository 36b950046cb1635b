"""The list of what meets in rows of two columns alike in height: a page ends between rows."""

from __future__ import annotations

from collections.abc import Sequence
from typing import NamedTuple

from .paper import Check, Topic
from .saying import own
from .wrapping import LISTED, Type, check_lines, lines

CONTINUED = "{topic}, continued"
LETTER, NAME_WIDTH = 7.0, 105.4
"""The smallest letters of the list, and how wide a name may be before what was found, in them [pt]."""
TOPIC_LINES = 1.3
"""A topic's heading, in lines."""
CAUTION_SPACE = 0.4
"""What stands around a caution, in lines."""
WHITE = 0.2
"""How much of a row may stay white rather than tear a topic between pages."""
TORN, LONE = 1.2, 1.5
"""By so many lines the columns may rather differ than tear a topic, or leave one check of it by itself."""

Columns = tuple[tuple[Topic, ...], ...]


class _Entry(NamedTuple):
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


def _entries(topic: Topic, type_: Type) -> list[_Entry]:
    size = type_.listed
    begins = TOPIC_LINES + sum(
        lines(f"{lead} {text}", size, LISTED - 6) + CAUTION_SPACE for lead, text in topic.cautions
    )
    return [
        _Entry(
            topic, check, not at, check_lines(check, size, type_.tab, LISTED), TOPIC_LINES if at else begins
        )
        for at, check in enumerate(topic.checks)
    ]


def in_rows(topics: Sequence[Topic], type_: Type, ends: Sequence[float] = ()) -> tuple[Columns, ...]:
    """Topics in rows, each in one or two columns.

    type_  the sizes they are set in
    ends   lines of each row but the last, left and right together: it ends with the check that fills it
    """
    rows: list[list[_Entry]] = [[]]
    room = list(ends)
    for topic in topics:
        for one in _entries(topic, type_):
            if room and rows[-1] and _height([*rows[-1], one]) > room[0]:
                full = room.pop(0)
                kept = len(rows[-1]) if one.first else _ending(rows[-1], full)
                rows[-1:] = [rows[-1][:kept], rows[-1][kept:]]
            rows[-1].append(one)
    return tuple(_side_by_side(row) for row in rows if row)


def _ending(row: list[_Entry], room: float) -> int:
    """How many checks of a full row stay in it: all, or whole topics where that leaves little white."""
    for at in range(len(row) - 1, 0, -1):
        if room - _height(row[:at]) > WHITE * room:
            break
        if row[at].first:
            return at
    return len(row)


def _height(entries: Sequence[_Entry]) -> float:
    high, before = 0.0, None
    for one in entries:
        high += one.lines + (one.head if one.topic is not before else 0)
        before = one.topic
    return high


def _side_by_side(entries: list[_Entry]) -> Columns:
    split = min(range(1, len(entries) + 1), key=lambda at: (_cost(entries, at), -at))
    return tuple(filter(None, (_by_topic(entries[:split]), _by_topic(entries[split:]))))


def _cost(entries: list[_Entry], at: int) -> float:
    """How high the columns are when the second begins there, and how badly that tears a topic."""
    high = max(_height(entries[:at]), _height(entries[at:]))
    if at == len(entries) or entries[at].first:
        return high
    topic, above, below = entries[at].topic, entries[:at][-2:], entries[at : at + 2]
    lone = [len([one for one in part if one.topic is topic]) for part in (above, below)]
    return high + TORN + (LONE if 1 in lone else 0)


def _by_topic(entries: list[_Entry]) -> tuple[Topic, ...]:
    found: list[tuple[_Entry, list[Check]]] = []
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
