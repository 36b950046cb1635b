"""What the owner's and everybody's own forms have in common: a bounded line, and what is wrong, by name."""

from __future__ import annotations

from collections.abc import Callable, Iterable

from flask import request
from wtforms import Field, Form, StringField
from wtforms.validators import DataRequired, ValidationError

from heaterapp.languages import say, told


def text(label: str, longest: int, needed: str = "") -> StringField:
    """One line of at most `longest` characters; `needed` is said where it stays empty."""
    checks = [at_most(label, longest)]
    return StringField(label, default="", validators=[DataRequired(needed), *checks] if needed else checks)


def at_most(label: str, longest: int) -> Callable[[Form, Field], None]:
    """A check that a field holds at most `longest` characters; it is told in the language of who typed."""

    def check(form: Form, field: Field) -> None:
        if len(field.data or "") > longest:
            said = say("{label}: at most {longest} characters.", label=say(label), longest=longest)
            raise ValidationError(said)

    return check


def faults(form: Form) -> dict[str, str]:
    """Field -> what is wrong with it, in the order of the form; a field sent twice is wrong too."""
    form.validate()
    wrong = {name: told("common", say(messages[0])) for name, messages in form.errors.items()}
    return wrong | sent_twice(form)


def sent_twice(fields: Iterable[Field]) -> dict[str, str]:
    """The fields that this request carries more than once."""
    return {
        field.name: say("{label}: sent more than once; send it once.", label=say(field.label.text))
        for field in fields
        if len(request.form.getlist(field.name)) > 1
    }


def one(name: str) -> str:
    """What was sent under this name, empty when it was sent not once."""
    said = request.form.getlist(name)
    return said[0] if len(said) == 1 else ""
