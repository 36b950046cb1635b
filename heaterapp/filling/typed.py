"""Answers as typed: which boxes a question has, what they show, and how what is typed is read.

Every answer goes through `rules.reading.read_answer`, so the page, the phone and the machine
door accept exactly the same things.
"""

from __future__ import annotations

from decimal import Decimal
from functools import cache
from typing import Any

from ..rules import CATALOGUE, BadAnswer, Job, place, place_names
from ..rules.catalog import questions_read
from ..rules.postal import EXPECTED, written
from ..rules.question import Question
from ..rules.reading import MOST_BTUH, is_ambiguous, one_of, read_answer, refuse_ambiguous
from ..rules.units import bare, eighths, plain

LENGTH_BOXES = 4
PIPE_ROWS = 3
MEASURABLE = ("number", "two_lengths", "lengths")


def asks(question: Question) -> bool:
    """Whether the form has this question: something reads it, or it is kept for the record."""
    return question.record or question.name == "place" or question.name in questions_read()


@cache
def questions_of(section: str) -> tuple[Question, ...]:
    """The questions of one form section, in the order in which they are measured."""
    return tuple(q for q in CATALOGUE.values() if q.section == section and asks(q))


def boxes(question: Question, answer: Any = None) -> tuple[str, ...]:
    """The ends of the input names that one question has on the form.

    >>> boxes(CATALOGUE["work_space_in"]), boxes(CATALOGUE["room"])
    (('-1', '-2'), ('',))
    """
    if question.kind == "two_lengths":
        return ("-1", "-2")
    if question.kind == "lengths":
        given = len(answer) if isinstance(answer, list) else 0
        return tuple(f"-{n}" for n in range(1, max(LENGTH_BOXES, given) + 1))
    if question.kind == "sections":
        given = len(answer) if isinstance(answer, list) else 0
        rows = range(1, max(PIPE_ROWS, given) + 1)
        return tuple(f"-{n}-{part}" for n in rows for part in ("in", "btuh"))
    return ("",)


def keyboard(question: Question) -> str:
    """The `inputmode` of a question's boxes: the keyboard a phone shows.

    A decimals pad has no minus on some phones: what may lie below nothing gets all letters, until a script
    brings a key for the sign.

    >>> [keyboard(CATALOGUE[name]) for name in ("bedrooms", "tank_height_in", "owner_name")]
    ['numeric', 'decimal', 'text']
    """
    if question.kind == "text":
        return "numeric" if question.typed_as == "digits" else "text"
    if question.whole:
        return "numeric"
    return "text" if question.hard and question.hard[0] < 0 else "decimal"


def shown(question: Question, answer: Any) -> dict[str, str]:
    """A stored answer as its boxes show it: lengths in inches as a tape reads, the rest plainly."""

    def one(value: Any) -> str:
        try:
            number = Decimal(str(value))
        except ArithmeticError:
            return str(value)
        if question.unit == "year":
            return bare(number, 28)
        text = eighths(number) if question.unit == "in" else plain(number, 28)
        return _typeable(text, question.hard[1] if question.hard else 0)

    if isinstance(answer, dict):
        return {"-said": "could_not_measure", "-why": str(answer.get("could_not_measure", ""))}
    if answer is None or answer == "":
        return {}
    if answer == "not_here" and question.kind in MEASURABLE:
        return {"-said": "not_here"}
    if question.kind == "sections" and isinstance(answer, list):
        rows = {f"-{n}-in": eighths(Decimal(str(row["in"]))) for n, row in enumerate(answer, 1)}
        loads = (plain(Decimal(str(row["btuh"])), 28) for row in answer)
        return rows | {f"-{n}-btuh": _typeable(load, MOST_BTUH) for n, load in enumerate(loads, 1)}
    if isinstance(answer, list):
        return {f"-{n}": one(value) for n, value in enumerate(answer, 1)}
    return {"": one(answer) if question.kind == "number" else str(answer)}


def _typeable(text: str, most: Decimal | int) -> str:
    """A stored number so that its box, sent back untouched, is read as it was."""
    return f"{text}0" if is_ambiguous(text, most) else text


def plain_answer(value: Any) -> Any:
    """What `read_answer` gave, as it is stored: numbers as decimal strings, lists of them as lists."""
    if isinstance(value, Decimal):
        return bare(value, 28)
    if isinstance(value, tuple):
        if value and isinstance(value[0], tuple):
            return [{"in": bare(size, 28), "btuh": bare(load, 28)} for size, load in value]
        return [bare(one, 28) for one in value]
    return value


def read_typed(name: str, given: Any) -> Any:
    """Read one answer as a person typed it; as `read_one`, but for a point that may stand before thousands.

    raises  BadAnswer naming the question and what was expected
    """
    if name in CATALOGUE:
        refuse_ambiguous(CATALOGUE[name], given)
    return read_one(name, given)


def read_one(name: str, given: Any) -> Any:
    """Read one answer as typed or as sent by a script; None takes the answer away, but for the place.

    returns  the answer in the form in which it is stored
    raises   BadAnswer naming the question and what was expected
    """
    question = CATALOGUE.get(name)
    if question is None or not asks(question):
        raise BadAnswer(str(name)[:60], "the name of a question on this form")
    if name == "place":
        # Never taken away: without it nobody knows which codes apply.
        if not isinstance(given, str) or given not in place_names():
            names = sorted(set(place_names().values()))
            titles = one_of(place(one).title for one in names)
            raise BadAnswer("place", "one of " + ", ".join(names), titles)
        return place_names()[given]
    if given is None or (isinstance(given, str) and not given.strip()) or given == []:
        return None
    if given == "not_here" or isinstance(given, dict):
        return Job({name: given}).canonical().get(name)
    answer = plain_answer(read_answer(question, given))
    if question.written and answer:
        answer = written(question.written, answer)
        if answer is None:
            raise BadAnswer(name, EXPECTED[question.written])
    return None if answer == "" else answer
