"""Every answer of an issued job, section by section, in the words of the form."""

from __future__ import annotations

from collections.abc import Mapping
from typing import Any

from heaterapp import rules
from heaterapp.languages import say
from heaterapp.sheet.bounds import reading
from heaterapp.web.days import shown_day
from heaterapp.web.places import place_title

WORDS = {"yes": "Yes", "no": "No", "unknown": "Not known", "not_here": "Not here"}
ABSENCES = {"no_leaks_seen": ("Water leaks seen", {"yes": "None", "no": "Yes"})}


def recorded(answers: Mapping[str, Any]) -> list[tuple[str, list[tuple[str, str, str]]]]:
    """Return (section, [(label, value, note)]) for each section that has an answer.

    answers  the stored job: names to values; a name that this program no longer asks
             stands under "Other", as it is stored
    """
    usual = set(answers.get("accepted_as_usual") or ())
    grouped: dict[str, list[tuple[str, str, str]]] = {title: [] for title in rules.SECTIONS.values()}
    for name, question in rules.CATALOGUE.items():
        if name in answers:
            note = "accepted as usual" if name in usual else ""
            grouped[rules.SECTIONS[question.section]].append((*said_line(name, answers[name]), note))
    known = {*rules.CATALOGUE, "accepted_as_usual", "acceptances", "amendments"}
    other = [(name, str(value), "") for name, value in answers.items() if name not in known]
    own = answers.get("amendments")
    other += [("Amendments", amended_words(own), "")] if own else []
    accepted = answers.get("acceptances") or {}
    other += [
        (check, f"{one['why']} ({one['by']}, {shown_day(one['on'])})", "accepted")
        for check, one in accepted.items()
    ]
    return [(title, lines) for title, lines in [*grouped.items(), ("Other", other)] if lines]


def said_line(name: str, value: Any, iso: bool = False) -> tuple[str, str]:
    """Return (label, value) of a stored answer; what is asked by its absence is told the other way round.

    >>> said_line("no_leaks_seen", "yes"), said_line("no_leaks_seen", "no")
    (('Water leaks seen', 'None'), ('Water leaks seen', 'Yes'))
    """
    label, words = ABSENCES.get(name, (rules.CATALOGUE[name].label, {}))
    return label, words[value] if isinstance(value, str) and value in words else shown(name, value, iso)


def amended_words(named: Mapping[str, Any]) -> str:
    """Return which of an organisation's own amendments these are: title, version and date in force."""
    told = {"title": named["title"], "version": named["version"], "day": shown_day(named["on"])}
    return say("{title}, version {version}, in force {day}", **told)


def shown(name: str, value: Any, iso: bool = False) -> str:
    """Return one stored answer as a person reads it, with its unit; `iso` as papers write a date."""
    question = rules.CATALOGUE[name]
    if isinstance(value, dict):
        return say("Could not measure: {why}", why=value.get("could_not_measure", ""))
    if isinstance(value, list):
        return ", ".join(
            f"{one['in']} in, {one['btuh']} Btu/h"
            if isinstance(one, dict)
            else reading(str(one), question.unit)
            for one in value
        )
    if question.kind == "choice":
        return say(question.choices.get(value, WORDS.get(value, str(value))))
    if question.kind == "date":
        return WORDS.get(value, str(value) if iso else shown_day(str(value)))
    if question.unit == "year":
        return str(value)
    if question.kind == "number" and value not in WORDS:
        return reading(str(value), question.unit)
    if name == "place":
        return place_title(str(value))
    return say(WORDS[value]) if question.kind != "text" and value in WORDS else str(value)
