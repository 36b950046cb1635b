"""A verdict's mark on paper: inked, and named for who hears it."""

from __future__ import annotations

from functools import lru_cache
from html import escape

from markupsafe import Markup

from heaterapp.languages import spoken
from heaterapp.sheet.marks import mark

from .saying import own

INKS = {
    "meets": "#145A4C",
    "fails": "#8E2F12",
    "error": "#8E2F12",
    "authority": "#6B4E00",
    "engineer": "#6B4E00",
}
SLATE = "#45505A"
SHAPES = {
    "meets": "Disc", "fails": "Square", "authority": "Half disc", "engineer": "Triangle",
    "unanswered": "Ring", "silent": "Dash", "not_applicable": "Dot", "error": "Cross",
}  # fmt: skip
"""What a mark is called by who reads the paper aloud; the verdict's word stands after it."""


def mark_of(verdict: str) -> Markup:
    """The mark, its shape named in the language spoken now."""
    return _inked(verdict, spoken())


@lru_cache(maxsize=50)
def _inked(verdict: str, language: str) -> Markup:
    ink = INKS.get(verdict, SLATE)
    svg = mark(verdict).replace('class="solid"', f'fill="{ink}"')
    svg = svg.replace("<svg ", '<svg xmlns="http://www.w3.org/2000/svg" ')
    svg = svg.replace(">", f"><title>{escape(own(SHAPES[verdict]))}</title>", 1)
    svg = svg.replace('class="line"', f'fill="none" stroke="{ink}" stroke-width="2"')
    return Markup(svg)  # noqa: S704 - our own shapes, no word of anybody's
