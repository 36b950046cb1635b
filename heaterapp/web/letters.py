"""One letter a page: a text that the office types once, with each address and heater filled in."""

from __future__ import annotations

import re
from collections.abc import Iterable, Sequence
from dataclasses import dataclass

from heaterapp.archive.sweep_shapes import Swept

MOST_LETTERS = 500
MOST_CHARACTERS = 2500
MOST_LINES = 30
LETTERS_A_LINE = 80
"""How many stand on a line of a US Letter page with an inch of margin, about."""
NOBODY = "Owner or resident"
MARKS = ("owner", "address", "model", "serial", "number")
KNOWN = ", ".join(f"[{mark}]" for mark in MARKS)
MARK = re.compile(r"\[([^\[\]\n]{0,60})\]")
MOST_STRANGE = 5
NO_PAPER, NO_NUMBER = "no paper yet", "not issued yet"
"""Said by itself, and where a number stands after a word such as `paper`."""


@dataclass(frozen=True)
class Letter:
    """What stands on one page."""

    to: str
    lines: tuple[str, ...]
    text: str
    about: str


def unfit(text: str) -> str:
    """Return why a text cannot be a letter of one page, empty where it can.

    >>> unfit("Dear [Owner], please call us."), unfit(" ")
    ('', 'Text: expected the text of the letter.')
    >>> unfit("To [Adress]")[:46]
    'Text: [Adress] would be printed as typed, as n'
    """
    if not text.strip():
        return "Text: expected the text of the letter."
    if len(text) > MOST_CHARACTERS:
        return f"Text: expected at most {MOST_CHARACTERS:,} characters; these are {len(text):,}."
    if any(not c.isprintable() and c not in "\n\t" for c in text):
        return "Text: expected plain text, without hidden characters."
    lines = sum(1 + max(0, len(one) - 1) // LETTERS_A_LINE for one in text.strip().split("\n"))
    if lines > MOST_LINES:
        said = f"Text: expected at most {MOST_LINES} lines, so that a letter stays on one page"
        return f"{said}; these are {lines}."
    found = dict.fromkeys(one[0] for one in MARK.finditer(text) if _mark(one[1]) not in MARKS)
    if found:
        strange = " and ".join(list(found)[:MOST_STRANGE])
        said = f"Text: {strange} would be printed as typed, as nothing is filled in there"
        return f"{said}. Expected one of {KNOWN}, or round brackets."
    return ""


def letter_of(house: Sequence[Swept], text: str) -> Letter:
    """Return the one letter to a house, its marks filled in by what holds there now.

    house  everything that was found of it, the newest first
    """
    newest = house[0]
    to = next((name for one in house for name in (one.owner_now, one.contact, one.owner) if name), NOBODY)
    street, _, rest = newest.address_now.partition(", ")
    # Several papers of one job are of one heater.
    jobs = list({one.job_id: one for one in reversed(house)}.values())[::-1]
    known = {
        "owner": to,
        "address": newest.address_now or "your address",
        "model": _joined(one.model_now for one in jobs) or "your water heater",
        "serial": _joined(one.serial_now for one in jobs) or "not recorded",
        "number": _joined(_number(one) or NO_NUMBER for one in jobs),
    }
    filled = MARK.sub(lambda found: known.get(_mark(found[1]), found[0]), text.strip())
    return Letter(to, tuple(part for part in (street, rest) if part), filled, ". ".join(map(_about, jobs)))


def _about(one: Swept) -> str:
    heater = f"{one.model_now}, serial {one.serial_now}" if one.serial_now else one.model_now
    paper = f"Our record {_number(one)}" if _number(one) else f"In our books, {NO_PAPER}"
    return ". ".join(part for part in (heater, paper) if part)


def _number(one: Swept) -> str:
    return one.present or one.number


def _mark(inside: str) -> str:
    return inside.strip().lower()


def _joined(parts: Iterable[str]) -> str:
    return " and ".join(dict.fromkeys(part for part in parts if part))
