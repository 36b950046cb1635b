"""The vent, to scale: from the draft hood or collar up through the roof, or its end in an outside wall.

Only what is known is drawn. Where a pipe turns between its ends is nowhere asked: an offset is drawn
halfway, and its words say so.
"""

from __future__ import annotations

from collections.abc import Mapping
from decimal import Decimal
from typing import Any

from .given import answer
from .vent_facts import roof_vent, roof_words
from .vent_roof import TALLEST, roof_svg
from .vent_wall import wall_end, wall_svg, wall_words


def vent_svg(answers: Mapping[str, Any], report: Mapping[str, Any], tallest: Decimal = TALLEST) -> str | None:
    """Draw the vent; None where too little of it is known, and for a heater without one.

    tallest  the height of vent and heater, in the drawing's units, for one that ends above the roof
    """
    if answer(answers, "vent_kind") in (None, "none"):
        return None
    if answer(answers, "vent_end") == "wall":
        end = wall_end(answers, report)
        return wall_svg(end) if end else None
    vent = roof_vent(answers, report)
    return roof_svg(vent, tallest) if vent else None


def vent_words(answers: Mapping[str, Any], report: Mapping[str, Any]) -> list[str]:
    """The drawing's numbers as sentences; none when nothing is drawn."""
    if answer(answers, "vent_kind") in (None, "none"):
        return []
    if answer(answers, "vent_end") == "wall":
        end = wall_end(answers, report)
        return wall_words(end) if end else []
    vent = roof_vent(answers, report)
    return roof_words(vent) if vent else []
