"""Why a check is not applied: the part is not there, or is taken not to be while nobody has said."""

from __future__ import annotations

from collections.abc import Container
from typing import Any

from .questions import CATALOGUE
from .when import Lookup, When

NO_SUCH_PART = "This installation has no such part."


def absence(when: When, look: Lookup, assumed: Container[str]) -> str:
    """The sentence of a check that does not apply to this job.

    when     the check's condition, which is false
    look     a question's or figure's value as conditions see it
    assumed  questions that stand at their default
    returns  that the part is not there; or which questions, open or at their default, leave it unsaid
    """
    taken = [one for one in when.names if _could_be_here(when, one, look, assumed)]
    if not taken:
        return NO_SUCH_PART
    labels = "; ".join(CATALOGUE[one].label for one in taken)
    return f"Taken as not here while this is not answered: {labels}."


def _could_be_here(when: When, name: str, look: Lookup, assumed: Container[str]) -> bool:
    """Whether some answer to one question, open or at its default, would have the check asked."""
    question = CATALOGUE.get(name)
    if question is None or (name not in assumed and look(name) is not None):
        return False
    given = question.choices or ("yes", "no")
    return any(when.holds(_with(look, name, answer)) is not False for answer in given)


def _with(look: Lookup, name: str, answer: Any) -> Lookup:
    return lambda asked: answer if asked == name else look(asked)
