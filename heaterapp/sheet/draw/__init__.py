"""Drawings of a job as SVG text, the same on screen and on paper.

They carry classes only, so a page with a strict content policy can show them;
`static/drawing.css` gives them their lines. Every drawing has a title and a
description, and its numbers stand beside it as sentences (`*_words`).

    straps_svg(answers, report) -> str | None
    straps_words(answers, report) -> list[str]
    pressure_svg(answers, report) -> str | None
    pressure_words(answers, report) -> list[str]
    house_svg(answers, report) -> str | None      what `pressure_svg` draws where no curve can be
    vent_svg(answers, report) -> str | None
    vent_words(answers, report) -> list[str]

answers  question name -> answer, canonical or as typed; what cannot be read counts as missing
report   the report as plain data (`Report.as_json()`)
returns  None, or no sentences, when there is not enough to draw
"""

from __future__ import annotations

from .house_pressure import house_svg
from .pressure import pressure_svg, pressure_words
from .straps import straps_scale, straps_svg, straps_words
from .vent import vent_svg, vent_words

__all__ = [
    "house_svg", "pressure_svg", "pressure_words", "straps_scale", "straps_svg", "straps_words", "vent_svg",
    "vent_words",
]  # fmt: skip
