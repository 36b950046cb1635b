"""What is wrong with a catalogue: texts not translated, holes or numbers changed, words not the trade's."""

from __future__ import annotations

import re
import tomllib
from collections import Counter
from collections.abc import Iterator
from functools import cache
from io import BytesIO
from pathlib import Path
from typing import Any, NamedTuple

from .patterns import wordless

GLOSSARY = Path(__file__).resolve().parent / "glossary.es.toml"
_HOLE = re.compile(r"\{[a-z0-9_]*\}")
_NUMBER = re.compile(r"\d+(?:[.,/]\d+)*")
_END = re.compile(r"[.:;,?!]\Z")


class Term(NamedTuple):
    """A term of the trade: how it is found in English, and what its Spanish may be."""

    en: str
    found: re.Pattern[str]
    said: re.Pattern[str]


class Glossary(NamedTuple):
    """The trade's words, longest first; words not used; texts alike in both; (text, term) let be, and why."""

    terms: tuple[Term, ...]
    avoided: re.Pattern[str]
    same: frozenset[str]
    let_be: dict[tuple[str, str], str]


@cache
def glossary() -> Glossary:
    """Read the glossary that stands beside the catalogue."""
    held = tomllib.loads(GLOSSARY.read_text(encoding="utf-8"))
    terms = [
        Term(
            one["en"], re.compile(rf"\b{re.escape(one['en'])}(?:s|es)?\b", re.IGNORECASE),
            re.compile("|".join(_forms(said) for said in one["es"]), re.IGNORECASE),
        )
        for one in held["term"]
    ]  # fmt: skip
    terms.sort(key=lambda one: -len(one.en))
    avoided = re.compile(rf"\b(?:{'|'.join(map(re.escape, held['avoided']['words']))})\b", re.IGNORECASE)
    let_be = {(one["text"], term): one["why"] for one in held.get("exception", ()) for term in one["terms"]}
    return Glossary(tuple(terms), avoided, frozenset(held["same"]["texts"]), let_be)


def _forms(said: str) -> str:
    """Spanish words in the singular or the plural."""
    words = (
        f"{re.escape(word[:-2])}(?:ón|ones)" if word.endswith("ón") else f"{re.escape(word)}(?:e?s)?"
        for word in said.split()
    )
    return rf"\b{' '.join(words)}\b"


def faults(body: bytes) -> list[str]:
    """Everything that is wrong with a catalogue, a line each.

    body  the file, as gettext has it
    """
    from babel.messages.pofile import read_po

    wrong = []
    for one in read_po(BytesIO(body)):
        if one.id:
            what = (
                "fuzzy: read it and take the mark off"
                if one.fuzzy
                else of_text(str(one.id), str(one.string or ""))
            )
            if what:
                wrong.append(f"{str(one.id)!r}: {what}")
    return wrong


def of_text(text: str, said: str) -> str:
    """What is wrong with one translation; empty where nothing is.

    >>> of_text("Tap {0} F.", ""), of_text("Tap {0} F.", "Llave a {1} F.")
    ('not translated', 'holes differ: {0} in English, {1} in Spanish')
    """
    return next(_wrong(text, said), "")


def _wrong(text: str, said: str) -> Iterator[str]:
    known = glossary()
    if not said:
        yield "not translated"
    if said == text and not wordless(_HOLE.sub("", text)) and text not in known.same:
        yield "left in English"
    for what, pattern in (("holes", _HOLE), ("numbers", _NUMBER)):
        here, there = (Counter(pattern.findall(_bare(one, what))) for one in (text, said))
        if here != there:
            yield f"{what} differ: {_listed(here - there)} in English, {_listed(there - here)} in Spanish"
    if _ending(text) != _ending(said):
        yield f"ends otherwise than the English: {text[-3:]!r}, {said[-3:]!r}"
    unused = known.avoided.search(said)
    if unused:
        yield f"{unused.group()!r} is not used here"
    left, small = text, text.lower()
    for term in known.terms:
        if term.en.lower() not in small:
            continue
        left, times = term.found.subn("", left)
        if times and not term.said.search(said) and (text, term.en) not in known.let_be:
            yield f"{term.en!r} is in the glossary as /{term.said.pattern}/"


def _bare(text: str, what: str) -> str:
    return text if what == "holes" else _HOLE.sub("", text)


def _ending(text: str) -> str:
    found = _END.search(text)
    return found.group() if found else ""


def _listed(counted: Counter[Any]) -> str:
    return ", ".join(counted.elements()) or "nothing"
