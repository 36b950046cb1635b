"""The JSON Schema of a job, read off the questions."""

from __future__ import annotations

from typing import Any

from .amendments import LONGEST_SAYING, MOST_CLAUSES, MOST_VERSIONS, NAMED
from .book import place_names
from .job import ACCEPTED_AS
from .question import LONGEST_TEXT, Question
from .questions import CATALOGUE
from .reading import LONGEST_LIST
from .units import bare

WORDS = {"type": "string", "maxLength": LONGEST_TEXT}
SAID = {**WORDS, "pattern": "\\S"}
"""Words that must say something."""
DAY = {"type": "string", "pattern": "^[0-9]{4}-[0-9]{2}-[0-9]{2}$"}


def _number(question: Question) -> dict[str, Any]:
    shape: dict[str, Any] = {"type": ["number", "string"]}
    if question.hard:
        shape["minimum"], shape["maximum"] = (_json_number(bare(v)) for v in question.hard)
    if question.whole:
        shape["multipleOf"] = 1
    return shape


def _json_number(text: str) -> int | float:
    return float(text) if "." in text else int(text)


def _answer(question: Question) -> dict[str, Any]:
    if question.name == "place":
        return {"type": "string", "enum": sorted(place_names())}
    if question.kind == "number":
        return _number(question)
    if question.kind == "yes_no":
        return {"enum": ["yes", "no", "unknown", "not_here"]}
    if question.kind == "choice":
        absent = () if question.is_test else ("not_here",)
        return {"enum": list(dict.fromkeys([*question.choices, "unknown", *absent]))}
    if question.kind == "two_lengths":
        return {"type": "array", "items": _number(question), "minItems": 2, "maxItems": 2}
    if question.kind == "lengths":
        return {"type": "array", "items": _number(question), "maxItems": LONGEST_LIST}
    if question.kind == "sections":
        size = {"type": ["number", "string"]}
        item = {
            "type": "object",
            "properties": {"in": size, "btuh": size},
            "required": ["in", "btuh"],
            "additionalProperties": False,
        }
        return {"type": "array", "items": item, "maxItems": LONGEST_LIST}
    return DAY if question.kind == "date" else {**WORDS, "maxLength": question.longest}


def _amendments() -> dict[str, Any]:
    saying = {"type": "string", "minLength": 1, "maxLength": LONGEST_SAYING}
    clause = {"type": "object", "required": ["section", "says", "values"], "additionalProperties": False,
              "properties": {"section": saying, "says": saying, "values": {"type": "object"}}}  # fmt: skip
    return {
        "type": "object", "title": "The organisation's own amendments to the place",
        "additionalProperties": False,
        "required": ["name", "title", "version", "on", "base", "clauses"],
        "properties": {
            "name": {"type": "string", "pattern": NAMED}, "title": saying, "on": DAY,
            "version": {"type": "integer", "minimum": 1, "maximum": MOST_VERSIONS},
            "base": {"enum": sorted(set(place_names().values()))},
            "clauses": {"type": "object", "additionalProperties": clause, "maxProperties": MOST_CLAUSES},
            "silent": {"type": "object", "additionalProperties": saying, "maxProperties": MOST_CLAUSES},
        },
    }  # fmt: skip


def job_schema() -> dict[str, Any]:
    """What a job may hold: every question, with its unit, range and words."""
    properties: dict[str, Any] = {}
    for question in CATALOGUE.values():
        answer = _answer(question)
        excuse = {"type": "object", "properties": {"could_not_measure": SAID},
                  "required": ["could_not_measure"], "additionalProperties": False}  # fmt: skip
        shape: dict[str, Any] = {"title": question.label}
        if question.name == "place":
            shape.update(answer)
        else:
            # Among words of somebody's own "not_here" is one already.
            never = question.is_test or question.kind == "text"
            shape["anyOf"] = [answer, excuse, *([] if never else [{"const": "not_here"}])]
        if question.unit:
            shape["unit"] = question.unit
        if question.default is not None:
            shape["default"] = question.default
        properties[question.name] = shape
    properties["accepted_as_usual"] = {
        "type": "array",
        "items": {"enum": list(CATALOGUE)},
        "title": "Taken as usual, not measured",
    }
    properties["acceptances"] = {
        "type": "object", "title": "What the authority accepted",
        "additionalProperties": {"type": "object", "properties": {"by": SAID, "on": DAY, "why": SAID,
                                                **dict.fromkeys(ACCEPTED_AS, WORDS)},
                                 "required": ["by", "on", "why"], "additionalProperties": False},
    }  # fmt: skip
    properties["amendments"] = _amendments()
    return {
        "$schema": "https://json-schema.org/draft/2020-12/schema", "title": "A water heater installation job",
        "type": "object", "properties": properties, "required": ["place"], "additionalProperties": False,
    }  # fmt: skip
