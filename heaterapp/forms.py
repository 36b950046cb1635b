"""Section forms made from the questions. WTForms reads and checks; templates/job/_fields.html draws.

Every answer goes through `rules.reading.read_answer`, so the form and the machine door
accept exactly the same things. A field keeps what was typed when it cannot be read,
and one unreadable field does not hold back the others.
"""

from __future__ import annotations

import json
import re
from collections.abc import Mapping
from decimal import Decimal
from functools import cache
from typing import Any

from wtforms import Field, Form

from .rules import CATALOGUE, SECTIONS, BadAnswer, Job, place, place_names
from .rules.catalog import questions_read
from .rules.question import Question
from .rules.reading import one_of, read_answer
from .rules.units import bare, eighths, plain

LENGTH_BOXES = 4
PIPE_ROWS = 3
ECHO = 200
NOT_MEASURED = ("could_not_measure", "not_here")
MEASURABLE = ("number", "two_lengths", "lengths")

_UNSHOWABLE = re.compile(r"[\x00-\x08\x0b-\x1f\x7f\ud800-\udfff]")


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
        if question.unit == "in":
            return eighths(number)
        return bare(number, 28) if question.unit == "year" else plain(number, 28)

    if isinstance(answer, dict):
        return {"-said": "could_not_measure", "-why": str(answer.get("could_not_measure", ""))}
    if answer is None or answer == "":
        return {}
    if answer == "not_here" and question.kind in MEASURABLE:
        return {"-said": "not_here"}
    if question.kind == "sections" and isinstance(answer, list):
        rows = {f"-{n}-in": eighths(Decimal(str(row["in"]))) for n, row in enumerate(answer, 1)}
        return rows | {f"-{n}-btuh": plain(Decimal(str(row["btuh"])), 28) for n, row in enumerate(answer, 1)}
    if isinstance(answer, list):
        return {f"-{n}": one(value) for n, value in enumerate(answer, 1)}
    return {"": one(answer) if question.kind == "number" else str(answer)}


def plain_answer(value: Any) -> Any:
    """What `read_answer` gave, as it is stored: numbers as decimal strings, lists of them as lists."""
    if isinstance(value, Decimal):
        return bare(value, 28)
    if isinstance(value, tuple):
        if value and isinstance(value[0], tuple):
            return [{"in": bare(size, 28), "btuh": bare(load, 28)} for size, load in value]
        return [bare(one, 28) for one in value]
    return value


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
    return None if answer == "" else answer


class AnswerField(Field):
    """One question on a form.

    present  the form that came in had this field
    answer   what is to be stored; None takes the stored answer away
    typed    end of the input's name -> what stands in the box, kept also when it cannot be read
    """

    def __init__(self, question: Question, **fixed: Any) -> None:
        super().__init__(label=question.label, **fixed)
        self.question = question
        self.present = False
        self.answer: Any = None
        self.typed: dict[str, str] = {}

    def process(self, formdata: Any, data: Any = None, extra_filters: Any = None) -> None:
        """Take the stored answer, then what came in; a fault becomes this field's one error."""
        self.process_errors: list[str] = []
        given = str(data) if isinstance(data, (int, Decimal)) and not isinstance(data, bool) else data
        self.answer = given if isinstance(given, (str, list, dict)) else None
        self.typed = shown(self.question, self.answer)
        if not formdata:
            return
        ends = (*boxes(self.question, self.answer), "-said", "-why")
        came = {end: formdata.getlist(self.name + end) for end in ends if self.name + end in formdata}
        if not came:
            return
        self.present = True
        before = self.typed
        self.typed = {
            end: _UNSHOWABLE.sub("\ufffd", values[0])[:ECHO] for end, values in came.items() if values
        }
        try:
            if any(len(values) > 1 for values in came.values()):
                raise BadAnswer(self.name, "one answer, sent once")
            self.answer = read_one(self.name, self._given({end: v[0] for end, v in came.items()}, before))
        except BadAnswer as bad:
            self.process_errors = [bad.said]

    def _given(self, came: Mapping[str, str], before: Mapping[str, str]) -> Any:
        kind = self.question.kind
        values = [came.get(end, "") for end in boxes(self.question, self.answer)]
        said = came.get("-said", "")
        numbers_are_new = any(values) and said == before.get("-said", "")
        if said and not numbers_are_new:
            if said not in NOT_MEASURED:
                raise BadAnswer(self.name, "a measured value, 'could not measure' or 'not here'")
            return "not_here" if said == "not_here" else {"could_not_measure": came.get("-why", "")}
        if kind == "two_lengths":
            if any(values) and not all(v.strip() for v in values):
                raise BadAnswer(self.name, "both lengths")
            return values if any(values) else None
        if kind == "lengths":
            return [v for v in values if v.strip()] or None
        if kind == "sections":
            rows = zip(values[::2], values[1::2], strict=True)
            return [{"in": size, "btuh": load} for size, load in rows if size.strip() or load.strip()] or None
        return values[0]

    @property
    def ends(self) -> tuple[str, ...]:
        """The ends of this question's input names."""
        return boxes(self.question, self.answer)

    @property
    def chips(self) -> list[tuple[str, str]]:
        """The usual values, each as it is stored and as its box shows it."""
        return [(value, shown(self.question, value)[""]) for value in self.question.usual]

    @property
    def data(self) -> Any:
        """The answer, under the name WTForms uses."""
        return self.answer

    @data.setter
    def data(self, value: Any) -> None:
        self.answer = value


class SectionForm(Form):
    """All questions of one section."""

    def changes(self, seen: Mapping[str, Any]) -> dict[str, Any]:
        """What the person changed: readable answers that differ from the ones the page had shown."""
        return {
            field.name: field.answer
            for field in self
            if field.present and not field.process_errors and field.answer != seen.get(field.name)
        }

    def faults(self) -> dict[str, str]:
        """Question -> what was expected, for the fields that could not be read."""
        return {field.name: field.process_errors[0] for field in self if field.process_errors}


@cache
def section_form(section: str) -> type[SectionForm]:
    """The form class of one section.

    raises  KeyError when there is no such section
    """
    if section not in SECTIONS:
        raise KeyError(section)
    fields = {question.name: AnswerField(question) for question in questions_of(section)}
    return type(f"{section.title()}Form", (SectionForm,), fields)


def seen_text(section: str, answers: Mapping[str, Any]) -> str:
    """The answers a page shows, carried in the page, so that only what was changed is sent on."""
    kept = {q.name: answers[q.name] for q in questions_of(section) if q.name in answers}
    return json.dumps(kept, ensure_ascii=True, sort_keys=True, separators=(",", ":"))


def seen_from(text: str | None, answers: Mapping[str, Any]) -> Mapping[str, Any]:
    """Read back `seen_text`; what cannot be read falls back on the stored answers."""
    try:
        seen = json.loads(text or "")
    except (ValueError, RecursionError):
        return answers
    return seen if isinstance(seen, dict) else answers


def kept_apart(
    answers: Mapping[str, Any], changes: Mapping[str, Any]
) -> tuple[dict[str, Any], dict[str, str]]:
    """Split changes into those that go together with the other answers, and those that cannot.

    answers  the stored answers
    changes  question -> new answer, None to take one away
    returns  the changes to save, and question -> what was expected for the ones left out
    """
    going = dict(changes)
    refused: dict[str, str] = {}
    while going:
        try:
            Job(merged(answers, going))
            break
        except BadAnswer as bad:
            culprit = bad.key if bad.key in going else _culprit(answers, going)
            if culprit is None:
                break
            label = CATALOGUE[bad.key].label if bad.key in CATALOGUE else bad.key
            refused[culprit] = (
                bad.said if culprit == bad.key else f"an answer that goes with {label}: {bad.said}"
            )
            del going[culprit]
    return going, refused


def _culprit(answers: Mapping[str, Any], going: Mapping[str, Any]) -> str | None:
    for name in going:
        try:
            Job(merged(answers, {k: v for k, v in going.items() if k != name}))
        except BadAnswer:
            continue
        return name
    return next(iter(going), None)


def merged(answers: Mapping[str, Any], changes: Mapping[str, Any]) -> dict[str, Any]:
    """The stored answers with the changes made.

    An answer given by hand is no longer one accepted as usual.
    """
    new = {k: v for k, v in {**answers, **changes}.items() if v is not None}
    usual = new.get("accepted_as_usual")
    if usual and "accepted_as_usual" not in changes:
        left = [name for name in usual if name not in changes]
        new.pop("accepted_as_usual")
        if left:
            new["accepted_as_usual"] = left
    return new
