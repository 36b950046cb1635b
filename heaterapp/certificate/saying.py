"""The papers' words in the language spoken now; what the catalogue has not stands in English, marked so."""

from __future__ import annotations

from collections.abc import Iterable

from markupsafe import Markup

from heaterapp.languages import SOURCE, catalogue, say, spoken
from heaterapp.languages.patterns import wordless
from heaterapp.languages.typeset import typeset

from .lettering import English, lettered


def own(text: str, **holes: object) -> str:
    """One of our own texts, its `{name}` filled from `holes`."""
    said, language = say(text, **holes), spoken()
    if language == SOURCE or wordless(text) or catalogue(language).texts.get(text):
        return said
    return English(said)


def built(scope: str, text: str) -> str:
    """A sentence that a check or a figure built.

    scope  the check's name; "figures", "draw" or "common", as `languages.told` has it
    """
    language = spoken()
    if language == SOURCE or not text:
        return _set(text, language, text)
    said = catalogue(language).sentence(scope, text)
    return English(_set(text, SOURCE, text)) if said is None else _set(said, language, text)


def _set(said: str, language: str, text: str) -> str:
    """What is said of a text with the signs of print, and no line ending before a degree's."""
    return typeset(said, language, text).replace(" °F", "\u00a0°F")


def like(given: str, text: str) -> str:
    """A text made of another one: in English where that one is."""
    return English(text) if isinstance(given, English) else text


def lowered(text: str) -> str:
    """The same in small letters."""
    return like(text, text.lower())


def unstopped(text: str) -> str:
    """The same without its full stop."""
    return like(text, text.removesuffix("."))


def joined(between: str, parts: Iterable[str]) -> str:
    """Texts one after the other, those in English still marked."""
    kept = [one for one in parts if one]
    if not any(isinstance(one, English | Markup) for one in kept):
        return between.join(kept)
    return lettered(between).join(map(lettered, kept))


def foreign(text: str) -> str:
    """A text that stays as it is printed in an English book; on an English paper nothing special."""
    return text if spoken() == SOURCE or not text else English(text)
