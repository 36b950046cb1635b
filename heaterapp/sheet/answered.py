"""An answer as people read it, and the answers that were accepted as usual instead of measured."""

from __future__ import annotations

from collections.abc import Iterator, Mapping
from html import escape
from typing import Any

from ..languages import say
from ..rules import CATALOGUE, SECTIONS
from .bounds import reading

Answers = Mapping[str, Any]
MANY_ACCEPTED = "{count} answers were accepted as usual, not measured"
ONE_ACCEPTED = "1 answer was accepted as usual, not measured"
LISTED = (
    "The paper lists them as accepted. What you have looked at or measured yourself, answer in its section."
)
SAID = {"not_here": "Not here", "yes": "Yes", "no": "No", "not_known": "Not known"}


def told(answers: Answers, name: str) -> str:
    """An answer as it is read, with its unit; what could not be measured says why; empty when open.

    >>> told({"storage_gal": "40"}, "storage_gal")
    '40 gal'
    >>> told({"forced_inlet_distance_ft": "not_here"}, "forced_inlet_distance_ft")
    'Not here'
    >>> told({"heater_serial": "not_here"}, "heater_serial")
    'Not here'
    """
    value = answers.get(name)
    question = CATALOGUE[name]
    if isinstance(value, dict):
        return say("could not be measured: {why}", why=value.get("could_not_measure", ""))
    if value in (None, ""):
        return ""
    if isinstance(value, list):
        return ", ".join(reading(str(one), question.unit) for one in value)
    text = str(value)
    if question.choices:
        return say(question.choices.get(text, SAID.get(text, text.replace("_", " "))))
    counted = question.kind == "number" and question.unit != "year"
    if text == "not_here" or (text in SAID and (counted or question.kind == "yes_no")):
        return say(SAID[text])
    return reading(text, question.unit) if counted else text


def accepted(answers: Answers) -> tuple[str, ...]:
    """The names of the answers that were accepted as usual and not measured."""
    names = answers.get("accepted_as_usual") or ()
    return tuple(name for name in names if name in CATALOGUE and answers.get(name) is not None)


def accepted_html(answers: Answers) -> str:
    """A fold that counts and lists by section what was accepted and not measured; empty for nothing."""
    names = accepted(answers)
    if not names:
        return ""
    counted = say(MANY_ACCEPTED, count=len(names)) if len(names) > 1 else say(ONE_ACCEPTED)
    return (
        f'<details class="folded" data-accepted><summary>{counted}</summary>'
        f"<p class=\"quiet\">{say(LISTED)}</p>{''.join(_lists(answers, names))}</details>"
    )


def _lists(answers: Answers, names: tuple[str, ...]) -> Iterator[str]:
    for section, title in SECTIONS.items():
        here = [name for name in names if CATALOGUE[name].section == section]
        if here:
            lines = (f"<li>{escape(say(CATALOGUE[n].label))}: {escape(told(answers, n))}</li>" for n in here)
            yield f'<p><b>{escape(say(title))}</b></p><ul class="lines">{"".join(lines)}</ul>'
