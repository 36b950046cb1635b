"""One letter a page: a text that the office types once, with each address and heater filled in."""

from __future__ import annotations

from dataclasses import dataclass

from heaterapp.archive.sweeps import Swept

MOST_LETTERS = 500
MOST_CHARACTERS = 2500
MOST_LINES = 30
LETTERS_A_LINE = 80
"""How many stand on a line of a US Letter page with an inch of margin, about."""
NOBODY = "Owner or resident"
MARKS = ("[owner]", "[address]", "[model]", "[serial]", "[number]")


@dataclass(frozen=True)
class Letter:
    """What stands on one page."""

    to: str
    lines: tuple[str, ...]
    text: str
    about: str


def unfit(text: str) -> str:
    """Return why a text cannot be a letter of one page, empty where it can.

    >>> unfit("Dear [owner], please call us."), unfit(" ")
    ('', 'Text: expected the text of the letter.')
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
    return ""


def letter_of(one: Swept, text: str) -> Letter:
    """Return the letter to one address, its marks filled in."""
    to = one.owner_now or one.contact or one.owner or NOBODY
    street, _, rest = one.address.partition(", ")
    known = (
        to,
        one.address or "your address",
        one.model or "your water heater",
        one.serial or "not recorded",
        one.number,
    )
    filled = _filled(text.strip(), dict(zip(MARKS, known, strict=True)))
    heater = f"{one.model}, serial {one.serial}" if one.serial else one.model
    about = ". ".join(part for part in (heater, f"Our record {one.number}") if part)
    return Letter(to, tuple(part for part in (street, rest) if part), filled, about)


def _filled(text: str, known: dict[str, str]) -> str:
    # From one end to the other, so that what is filled in is never read as a mark itself.
    made, at = [], 0
    while at < len(text):
        mark = next((mark for mark in known if text.startswith(mark, at)), None)
        made.append(known[mark] if mark else text[at])
        at += len(mark) if mark else 1
    return "".join(made)
