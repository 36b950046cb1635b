"""A signature that was drawn: the strokes that a page sends, read and bounded."""

from __future__ import annotations

import json

from heaterapp.languages import say

NO_STROKES = "The drawn signature could not be read. Draw it again, or type your name alone."
MOST_POINTS, LARGEST = 4000, 10_000


def read_strokes(text: str) -> list[list[list[int]]] | None:
    """A drawn signature: strokes of points [x, y, milliseconds], whole numbers from 0 to 10,000.

    returns  the strokes, or None when nothing was drawn
    raises   ValueError with a sentence

    >>> read_strokes("[[[1, 2, 0], [3, 4, 16]], []]"), read_strokes("[[]]"), read_strokes("")
    ([[[1, 2, 0], [3, 4, 16]]], None, None)
    """
    if not text:
        return None
    try:
        strokes = json.loads(text)
        points = [point for stroke in strokes for point in stroke]
        # A mapping or a text can be gone through as well, and no paper could be drawn from it.
        good = all(isinstance(one, list) for one in (strokes, *strokes, *points)) and all(
            len(p) == 3 and all(type(v) is int and 0 <= v <= LARGEST for v in p[:2]) and type(p[2]) is int
            for p in points
        )
        good = good and all(0 <= p[2] <= 600_000 for p in points)
    except (ValueError, TypeError, RecursionError):
        good, points = False, []
    if not good or len(points) > MOST_POINTS:
        raise ValueError(say(NO_STROKES))
    return [s for s in strokes if s] or None
