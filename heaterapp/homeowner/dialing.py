"""Phone numbers in what is said, so that a phone can call them by a tap."""

from __future__ import annotations

import re
from collections.abc import Iterable, Iterator
from typing import NamedTuple

EMERGENCY = "911"
NUMBER_EXPECTED = "a phone number of 7 or 10 digits, such as 555-0142 or 555-010-0142"
"""What a line must hold that people call in an emergency."""
_DASH = r"[-\u2010-\u2015]"
_JOINT = rf"(?: ?(?:{_DASH}|[./]) ?| )?"
_CODE = rf"(?:\+?1(?:{_DASH}|[. ])?)?(?:\([0-9]{{3}}\) ?|[0-9]{{3}}{_JOINT})"
_ABROAD = rf"\+(?!1)(?:[0-9](?:{_DASH}|[. ])?){{7,14}}[0-9]"
_MORE = r"(?:,?\s*(?:x|ext\.?|extension|extensión)\s*([0-9]{1,6}))?"
_HERE = rf"(?:{_CODE})?[0-9]{{3}}{_JOINT}[0-9]{{4}}"
_NUMBER = re.compile(
    rf"(?<![\w+])(?<![^\W\d_]-)({_HERE}|{_ABROAD})(?![0-9]){_MORE}(?!-?[^\W_])", re.IGNORECASE
)
"""A number as it is written here, 7 digits, 10, or 11 that begin with 1; one of elsewhere behind a plus."""
_HOURS = re.compile(r"\b\d{1,2}(?:/\d{1,2}|[ -]?(?:h|hrs?|hours?|horas?))\b", re.I)
"""When somebody answers: no part of the number beside it."""
_ENDS = re.compile(r"[;:]\s|,\s(?!\s*(?:x|ext))|\((?!\d{3}\))", re.I)
"""Where a number ends, whatever comes."""
_LETTERS = re.compile(r"[^\W\d_]+")


class Piece(NamedTuple):
    """A run of text, and what to dial where it is a phone number."""

    words: str
    dial: str = ""


def numbers_in(phone: str) -> tuple[str, ...]:
    """Return the numbers that stand in a phone's field, as they are written.

    Digits beside a number that belong to nothing known leave it in doubt: a wrong number is worse than none.

    >>> numbers_in("555-0142 or (555) 010-0143 ext. 7"), numbers_in("ask Dana")
    (('555-0142', '(555) 010-0143 ext. 7'), ())
    >>> numbers_in("24/7 555-010-0142"), numbers_in("555-0142 / 555-0143"), numbers_in("44 555-0142")
    (('555-010-0142',), ('555-0142', '555-0143'), ())
    """
    if phone.strip() == EMERGENCY:
        return (EMERGENCY,)
    return tuple(one for part in _ENDS.split(_HOURS.sub("; ", phone)) for one in _undoubted(part))


def _undoubted(part: str) -> Iterator[str]:
    found = iter([one.group() for one in _NUMBER.finditer(part)])
    for run in _LETTERS.split(_NUMBER.sub("\0", part)):
        numbers = [next(found) for _ in range(run.count("\0"))]
        if not any(map(str.isdigit, run)):
            yield from numbers


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
