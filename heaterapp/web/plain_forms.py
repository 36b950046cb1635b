"""What the owner's and everybody's own forms have in common: a bounded line, and what is wrong, by name."""

from __future__ import annotations

from collections.abc import Iterable

from flask import request
from wtforms import Field, Form, StringField
from wtforms.validators import DataRequired, Length

from heaterapp.languages import say, told


def text(label: str, longest: int, needed: str = "") -> StringField:
    """One line of at most `longest` characters; `needed` is said where it stays empty."""
    checks = [Length(max=longest, message=f"{label}: at most {longest} characters.")]
    return StringField(label, default="", validators=[DataRequired(needed), *checks] if needed else checks)


def faults(form: Form) -> dict[str, str]:
    """Field -> what is wrong with it, in the order of the form; a field sent twice is wrong too."""
    form.validate()
    return {name: told("common", messages[0]) for name, messages in form.errors.items()} | sent_twice(form)


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
