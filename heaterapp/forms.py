"""Section forms made from the questions. WTForms reads and checks; templates/job/_fields.html draws.

What is typed is read by `heaterapp.filling`, as on the phone. A field keeps what was typed when
it cannot be read, and one unreadable field does not hold back the others.
"""

from __future__ import annotations

import re
from collections.abc import Mapping
from decimal import Decimal
from functools import cache
from typing import Any

from wtforms import Field, Form

from .filling.typed import boxes, questions_of, read_typed, shown
from .languages import told
from .rules import SECTIONS, BadAnswer
from .rules.question import Question

ECHO = 1000
NOT_MEASURED = ("could_not_measure", "not_here")

_UNSHOWABLE = re.compile(r"[\x00-\x08\x0b-\x1f\x7f\ud800-\udfff]")


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
        if self.question.written and before and self.typed == before:
            # What is stored already stays as it is, and the sheet says what is odd of it.
            return
        try:
            if any(len(values) > 1 for values in came.values()):
                raise BadAnswer(self.name, "one answer, sent once")
            self.answer = read_typed(self.name, self._given({end: v[0] for end, v in came.items()}, before))
        except BadAnswer as bad:
            self.process_errors = [told("common", bad.said)]

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
