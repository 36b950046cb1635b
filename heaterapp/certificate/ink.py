"""Signature strokes as an SVG path, built here from whole numbers; nobody's markup is ever taken."""

from __future__ import annotations

from collections.abc import Mapping
from html import escape
from typing import Any

from heaterapp.languages import say

MOST_POINTS = 10_000
FURTHEST = 10_000


def _whole(value: Any) -> int:
    if isinstance(value, bool) or not isinstance(value, int | float) or not 0 <= value <= FURTHEST:
        raise ValueError("a stroke point out of the pad")
    return round(value)


def strokes_svg(signature: Mapping[str, Any]) -> str:
    """Draw a signature's strokes, cropped to the ink.

    signature  `strokes` [[[x, y, ...], ...], ...] in pad units 0 to 10,000
    returns    SVG text; empty where there are none, too many, or something else than numbers
    """
    strokes = signature.get("strokes")
    if not isinstance(strokes, list) or not strokes:
        return ""
    try:
        lines = [[(_whole(point[0]), _whole(point[1])) for point in stroke] for stroke in strokes if stroke]
    except (ValueError, TypeError, IndexError, KeyError):
        return ""
    points = [point for one in lines for point in one]
    if not 2 <= len(points) <= MOST_POINTS:
        return ""
    left, right = min(x for x, _ in points), max(x for x, _ in points)
    top, bottom = min(y for _, y in points), max(y for _, y in points)
    edge = max(4, (bottom - top) // 12)
    steps = " ".join(
        "M" + " L".join(f"{x} {y}" for x, y in (one if len(one) > 1 else one * 2)) for one in lines
    )
    box = f"{left - edge} {top - edge} {right - left + 2 * edge} {bottom - top + 2 * edge}"
    thick = max(1, (bottom - top + 2 * edge) // 28)
    return (
        f'<svg class="ink" viewBox="{box}" xmlns="http://www.w3.org/2000/svg"><title>{escape(say("Signature"))}</title>'
        f'<path d="{steps}" fill="none" stroke="#1B2220" stroke-width="{thick}" stroke-linecap="round" '
        'stroke-linejoin="round"/></svg>'
    )
