"""Reads one answer as its question's kind asks: numbers as typed, words, choices, dates, lists."""

from __future__ import annotations

import re
from collections.abc import Iterable
from datetime import date
from decimal import Decimal
from typing import Any

from .question import LONGEST_TEXT, Question
from .units import EXACT, LONGEST, Unreadable, bare, parse_quantity, span

LONGEST_LIST = 12
NO_THOUSANDS = 1000
"""The most of a question whose numbers have no comma before their thousands, but for this one."""
MOST_BTUH = 10_000_000
EARLIEST, LATEST = 1950, 2100

_DECIMAL_COMMA = re.compile(r"(?:0|[1-9][0-9]{0,2}),[0-9]{1,2}")
# 0.528 has no thousands.
_TWO_READINGS = re.compile(r"[1-9][0-9]{0,2}\.[0-9]{3}")
# 5,11 may be 5 ft 11 in, 4,12 a rise in 12 and 12,2 a cable of two wires.
_SIZES = frozenset({"AWG", "ga"})
_TWO_NUMBERS = _SIZES | {"ft", "pitch"}
# 30,5 may be one length, or two.
_COMMA_OF_TWO_KINDS = re.compile(r"[0-9],[0-9]")
_WIDEST_PIPE_IN = Decimal(12)
_UNPRINTABLE = re.compile(r"[\x00-\x08\x0b-\x1f\x7f\u2028\u2029\ud800-\udfff]")

# Written out, so that the phone and the office agree whatever release of Unicode their Pythons know.
_UNSEEN = re.compile(
    r"[\s\x00-\x1f\x7f-\xa0\xad\u034f\u061c\u115f\u1160\u17b4\u17b5\u180b-\u180f\u200b-\u200f\u2028-\u202f"
    r"\u205f-\u206f\u2800\u3164\ufe00-\ufe0f\ufeff\uffa0\ufff0-\ufffb\U0001bca0-\U0001bca3\U0001d159"
    r"\U0001d173-\U0001d17a\U000e0000-\U000e0fff]+"
)


class BadAnswer(ValueError):
    """An answer that cannot be read. `key` names it, `expected` says what was wanted.

    said  the same for a person at the form, where machines say it with their own words
    """

    def __init__(self, key: str, expected: str, said: str = "") -> None:
        super().__init__(f"{key}: expected {expected}")
        self.key = key
        self.expected = expected
        self.said = said or expected


def _shown_range(question: Question) -> str:
    assert question.hard is not None
    return span(*question.hard, question.unit)


def _wanted(question: Question) -> str:
    kind = "a whole number" if question.whole else "a number"
    return f"{kind} from {_shown_range(question)}" if question.hard else kind


def with_point(typed: str, unit: str, most: Decimal) -> str:
    """Return a number typed with a decimal comma with a point, where that comma can be nothing else.

    4,5 is 4.5 where no number asked for is above a thousand, for 4,50 is no thousand half typed then. Three
    digits after the comma, a second comma, a unit, a sign or anything else beside it: returned as it is.

    typed  the text of one box
    unit   the unit, or the way, in which it is read
    most   the highest number that is taken

    >>> with_point("4,5", "kW", Decimal(100)), with_point("4,500", "kW", Decimal(100))
    ('4.5', '4,500')
    """
    fits = most <= NO_THOUSANDS and unit not in _TWO_NUMBERS
    return typed.replace(",", ".") if fits and _DECIMAL_COMMA.fullmatch(typed.strip()) else typed


def is_ambiguous(typed: str, most: Decimal | int) -> bool:
    """Whether a text may be a decimal or thousands: 5.280 where the numbers asked for reach thousands.

    Of what a person types only: what was read once is stored with such a point, and means a decimal.

    typed  the text of one box
    most   the highest number that is taken

    >>> [is_ambiguous(one, 14_500) for one in ("5.280", "5.28", "0.528", "5280")]
    [True, False, False, False]
    """
    return most > NO_THOUSANDS and bool(_TWO_READINGS.fullmatch(typed.strip()))


def refuse_ambiguous(question: Question, given: Any) -> None:
    """Refuse what a person typed where its point may stand before thousands.

    given   as its boxes have it: one text, a list of them, or rows of a size and a load
    raises  BadAnswer saying both ways to type it
    """
    most: Decimal | int = question.hard[1] if question.hard else 0
    if question.kind == "sections":
        most = MOST_BTUH
        given = [one.get("btuh") for one in given if isinstance(one, dict)] if isinstance(given, list) else ()
    elif question.kind not in ("number", "two_lengths", "lengths"):
        return
    for one in given if isinstance(given, (list, tuple)) else [given]:
        if isinstance(one, str) and is_ambiguous(one, most):
            typed = one.strip()
            whole, small = typed.replace(".", ""), typed.rstrip("0").rstrip(".")
            # 5.125 has no shorter way to be typed: a fourth decimal says it.
            small = f"{small}0" if small == typed else small
            raise BadAnswer(question.name, f"{whole} or {small}: {typed} may be read as either")


def _refused(question: Question, value: Any, wanted: str) -> BadAnswer:
    """What was wanted; where a comma was typed that may be meant for a point, that too."""
    no_decimals = question.whole or question.unit in _SIZES
    if no_decimals or not isinstance(value, str) or "," not in value:
        return BadAnswer(question.name, wanted)
    return BadAnswer(question.name, f"{wanted}; use a point for decimals, such as 4.5")


def _number(question: Question, value: Any) -> Decimal:
    if isinstance(value, bool) or not isinstance(value, (int, Decimal, str)):
        raise BadAnswer(question.name, _wanted(question))
    unit = question.typed_as or question.unit
    typed = value
    if isinstance(value, str) and question.kind == "number" and question.hard and not question.whole:
        typed = with_point(value, unit, question.hard[1])
    try:
        number = parse_quantity(typed, unit) if isinstance(typed, str) else Decimal(typed)
    except Unreadable as unreadable:
        raise _refused(question, value, f"{unreadable} ({_shown_range(question)})") from None
    if not number.is_finite() or (question.hard and not question.hard[0] <= number <= question.hard[1]):
        raise _refused(question, value, _wanted(question))
    if question.whole and number != number.to_integral_value():
        raise BadAnswer(question.name, _wanted(question))
    return EXACT.add(number, Decimal(0))


def one_of(words: Iterable[str]) -> str:
    """Choices read out: each stands apart from the next, though it has a comma of its own.

    >>> one_of(["Type B, double wall", "Single wall"])
    'one of these: Type B, double wall; Single wall'
    """
    return "one of these: " + "; ".join(words)


def accepted_words(question: Question) -> list[str]:
    """The words that are taken as an answer, as they are stored; none where an answer is no such word."""
    choices = {"choice": tuple(question.choices), "yes_no": ("yes", "no")}.get(question.kind, ())
    return list(dict.fromkeys([*choices, "unknown"])) if choices else []


def _list(question: Question, value: Any, exact: int | None) -> tuple[Decimal, ...]:
    wanted = "two lengths, such as [30, 30]" if exact else "a list of lengths, such as [16, 45]"
    if isinstance(value, str):
        if _COMMA_OF_TWO_KINDS.search(value) or {",", ";"} <= set(value):
            raise BadAnswer(
                question.name,
                f"{wanted}; in one text, semicolons between them and a point for decimals, such as 16.5; 45",
            )
        value = [part for part in re.split(r"[,;]", value) if part.strip()]
    if not isinstance(value, list) or (exact is not None and len(value) != exact):
        raise BadAnswer(question.name, wanted)
    if len(value) > LONGEST_LIST:
        raise BadAnswer(question.name, f"at most {LONGEST_LIST} lengths")
    return tuple(_number(question, one) for one in value)


def read_words(key: str, value: Any, longest: int = LONGEST_TEXT) -> str:
    """Read printable words of at most `longest` characters.

    raises  BadAnswer naming `key`, also for a text of which nothing can be seen on paper
    """
    if not isinstance(value, str) or len(value) > longest or _UNPRINTABLE.search(value):
        raise BadAnswer(key, f"words, at most {longest} characters")
    words = value.strip()
    if words and _UNSEEN.fullmatch(words):
        raise BadAnswer(key, "words that can be seen: what came has no visible letter")
    return words


def _typed(value: Any) -> str:
    """A value as it would be typed: 1e5, as programs write it, is 100000."""
    known = isinstance(value, Decimal) and value.is_finite() and abs(value) <= MOST_BTUH
    return bare(value, LONGEST) if known else str(value)


def _sections(question: Question, value: Any) -> tuple[tuple[Decimal, Decimal], ...]:
    wanted = 'a list such as [{"in": 0.75, "btuh": 120000}]'
    said = "in each row a size such as 3/4 or 0.75, with a point for decimals, and a load such as 120,000"
    if not isinstance(value, list) or len(value) > LONGEST_LIST:
        raise BadAnswer(question.name, wanted, said)
    pairs = []
    for one in value:
        if not isinstance(one, dict) or set(one) != {"in", "btuh"}:
            raise BadAnswer(question.name, wanted, said)
        try:
            size = parse_quantity(with_point(_typed(one["in"]), "in", _WIDEST_PIPE_IN), "in")
            load = parse_quantity(_typed(one["btuh"]), "Btu/h")
        except Unreadable:
            raise BadAnswer(question.name, wanted, said) from None
        if not (0 < size <= _WIDEST_PIPE_IN and 0 < load <= MOST_BTUH):
            raise BadAnswer(question.name, wanted, said)
        pairs.append((size, load))
    return tuple(pairs)


def read_day(key: str, value: Any, expected: str) -> str:
    """Read a date, YYYY-MM-DD and nothing else, 1950 to 2100.

    raises  BadAnswer naming `key` and what was expected
    """
    try:
        # The library also reads 20260314 and 2026-W11-6; one form only is stored.
        if not isinstance(value, str) or not re.fullmatch(r"[0-9]{4}-[0-9]{2}-[0-9]{2}", value):
            raise ValueError
        day = date.fromisoformat(value)
        if not EARLIEST <= day.year <= LATEST:
            raise ValueError
        return day.isoformat()
    except ValueError:
        raise BadAnswer(key, expected) from None


def read_answer(question: Question, value: Any) -> Any:
    """Read one answer as its question's kind asks.

    returns  Decimal, tuple of Decimal, "yes"/"no"/"unknown", a choice word, or text
    raises   BadAnswer naming the question and what was expected
    """
    kind = question.kind
    if kind == "number":
        return _number(question, value)
    if kind == "yes_no":
        if value in ("yes", "no", "unknown") and isinstance(value, str):
            return value
        raise BadAnswer(question.name, "yes, no or unknown", "Yes, No or Not known")
    if kind == "choice":
        if isinstance(value, str) and (value in question.choices or value == "unknown"):
            return value
        wanted = "one of " + ", ".join(question.choices)
        raise BadAnswer(question.name, wanted, one_of(question.choices.values()))
    if kind == "text":
        return read_words(question.name, value, question.longest)
    if kind == "two_lengths":
        return _list(question, value, 2)
    if kind == "lengths":
        # Nobody measures straps in an order: only the checks read them lowest first.
        lengths = tuple(sorted(_list(question, value, None)))
        if len(set(lengths)) != len(lengths):
            raise BadAnswer(question.name, "each height once")
        return lengths
    if kind == "sections":
        return _sections(question, value)
    return read_day(question.name, value, f"a date as YYYY-MM-DD, {EARLIEST} to {LATEST}")
