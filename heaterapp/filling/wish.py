"""What a wish to the door holds, read with bounds: never more than a whole job needs."""

from __future__ import annotations

import json
import math
from datetime import date
from typing import Any

from ..rules import CATALOGUE, SECTIONS

LONGEST_WISH = 500_000
"""Characters; the largest whole job, with amendments of its own, has a tenth of it."""
MOST_ANSWERS = 2 * len(CATALOGUE)

Wish = dict[str, Any]


class BadWish(ValueError):
    """A wish that cannot be read; the text says what was expected."""


def read_wish(text: str) -> Wish:
    """Read a wish from its JSON text.

    raises  BadWish; RecursionError where it is nested too deeply
    """
    if len(text) > LONGEST_WISH:
        raise BadWish(f"A wish: expected at most {LONGEST_WISH} characters.")
    try:
        wish = json.loads(text, object_pairs_hook=_each_once, parse_float=_finite, parse_constant=_finite)
    except ValueError:
        wish = None
    if not isinstance(wish, dict):
        raise BadWish("A wish: expected one JSON object, each key once.")
    return wish


def _each_once(pairs: list[tuple[str, Any]]) -> Wish:
    if len(dict(pairs)) < len(pairs):
        raise ValueError("a key twice")
    return dict(pairs)


def _finite(text: str) -> float:
    number = float(text)
    if not math.isfinite(number):
        raise ValueError("no finite number")
    return number


def held_object(wish: Wish, name: str, most: int = MOST_ANSWERS) -> Wish:
    """The object a wish has under a name, empty where it has none. Raises BadWish."""
    held = wish.get(name, {})
    if not isinstance(held, dict) or len(held) > most:
        raise BadWish(f'"{name}": expected an object of at most {most} names.')
    return held


def section_of(wish: Wish) -> str | None:
    """The section a wish names, if it names one. Raises BadWish."""
    section = wish.get("section")
    if section is None:
        return None
    if not isinstance(section, str) or section not in SECTIONS:
        raise BadWish(f'"section": expected one of {", ".join(SECTIONS)}.')
    return section


def day_of(wish: Wish) -> str:
    """The day where the wish was made, as an ISO date; empty where it names none. Raises BadWish."""
    today = wish.get("today", "")
    try:
        if today and date.fromisoformat(today).isoformat() != today:
            raise ValueError(today)
    except (TypeError, ValueError):
        raise BadWish('"today": expected a date such as 2026-11-26.') from None
    return str(today)
