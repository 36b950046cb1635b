"""The list of what meets in rows of two columns alike in height: a page ends between rows."""

from __future__ import annotations

import math
from collections.abc import Sequence
from typing import NamedTuple

from .lettering import width
from .paper import Check, Topic
from .saying import own

CONTINUED = "{topic}, continued"
LETTER, NAME_WIDTH, VALUE_WIDTH, TOPIC_LINES = 7.0, 112.5, 148.0, 1.3
"""The compact list: letters and two zones in points, a topic's heading in lines; as in certificate.css."""
COLUMN = 255.0
"""How wide a caution is set in a column of the list [pt]."""
CAUTION_SPACE = 0.4
"""What stands around a caution, in lines."""
BOLDER = 1.08
"""How much wider the bold is than the regular face, about."""

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


def _entries(topic: Topic) -> list[_Entry]:
    begins = TOPIC_LINES + sum(_of_caution(lead, text) for lead, text in topic.cautions)
    return [
        _Entry(topic, check, not at, _lines(check), TOPIC_LINES if at else begins)
        for at, check in enumerate(topic.checks)
    ]


def _lines(one: Check) -> float:
    limit = f", {one.bound} {one.limit}" if one.limit else ""
    beside = width(one.found, LETTER) * BOLDER + width(f"{limit} {one.cite}", LETTER)
    if one.wide:
        beside += width(f"● {one.name}  ", LETTER) - (COLUMN - VALUE_WIDTH)
    return max(1, math.ceil(beside / VALUE_WIDTH))


def in_rows(topics: Sequence[Topic], row_lines: int) -> tuple[Columns, ...]:
    """Topics in rows of whole ones, each row in one or two columns.

    row_lines  from so many lines on, left and right together, a row ends with its topic
    """
    rows: list[list[_Entry]] = [[]]
    high = 0.0
    for topic in topics:
        if high >= row_lines:
            rows.append([])
            high = 0.0
        entries = _entries(topic)
        rows[-1] += entries
        high += _height(entries)
    return tuple(_side_by_side(row) for row in rows if row)


def _of_caution(lead: str, text: str) -> float:
    return math.ceil((width(lead, LETTER) * BOLDER + width(f" {text}", LETTER)) / COLUMN) + CAUTION_SPACE


def _height(entries: Sequence[_Entry]) -> float:
    high, before = 0.0, None
    for one in entries:
        high += one.lines + (one.head if one.topic is not before else 0)
        before = one.topic
    return high


def _side_by_side(entries: list[_Entry]) -> Columns:
    split = min(
        range(1, len(entries) + 1), key=lambda at: (max(_height(entries[:at]), _height(entries[at:])), -at)
    )
    return tuple(filter(None, (_by_topic(entries[:split]), _by_topic(entries[split:]))))


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
