"""Phone numbers in what is said, so that a phone can call them by a tap."""

from __future__ import annotations

import re
from collections.abc import Iterable
from typing import NamedTuple

EMERGENCY = "911"
_NUMBER = re.compile(r"(\+?\(?\d[\d() .\-/]{4,}\d)(?:,?\s*(?:x|ext\.?|extension)\s*(\d{1,6}))?", re.I)


class Piece(NamedTuple):
    """A run of text, and what to dial where it is a phone number."""

    words: str
    dial: str = ""


def numbers_in(phone: str) -> tuple[str, ...]:
    """Return the numbers that stand in a phone's field, as they are written.

    >>> numbers_in("555-0142 or (555) 010-0143 ext. 7"), numbers_in("ask Dana")
    (('555-0142', '(555) 010-0143 ext. 7'), ())
    """
    if phone.strip() == EMERGENCY:
        return (EMERGENCY,)
    return tuple(found.group() for found in _NUMBER.finditer(phone))


def dial_of(number: str) -> str:
    """Return a number as it is dialed (RFC 3966).

    >>> dial_of("911"), dial_of("+1 (555) 010-0142"), dial_of("555-0142 x7")
    ('911', '+15550100142', '5550142;ext=7')
    """
    found = _NUMBER.fullmatch(number)
    main, more = found.groups() if found else (number, None)
    digits = ("+" if main.startswith("+") else "") + re.sub(r"\D", "", main)
    return f"{digits};ext={more}" if more else digits


def pieces(text: str, numbers: Iterable[str]) -> tuple[Piece, ...]:
    """Return a text in runs, those of these numbers apart.

    >>> pieces("Call 911 now.", ["911"])
    (Piece(words='Call ', dial=''), Piece(words='911', dial='911'), Piece(words=' now.', dial=''))
    """
    known = sorted(filter(None, numbers), key=len, reverse=True)
    if not known:
        return (Piece(text),)
    one_of = "|".join(map(re.escape, known))
    runs = re.split(rf"(?<![\w-])({one_of})(?![\w-])", text)
    return tuple(Piece(run, dial_of(run) if at % 2 else "") for at, run in enumerate(runs) if run)
