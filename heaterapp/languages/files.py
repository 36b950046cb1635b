"""A language's catalogue as it is kept: a gettext file that translators know, beside its glossary."""

from __future__ import annotations

import json
from collections.abc import Callable
from functools import cache
from pathlib import Path
from typing import Any

from .patterns import has_holes
from .sentences import Catalogue

HERE = Path(__file__).resolve().parent
COMMON = "common"
OF_SCRIPTS, OF_PHONES = "static/", "static/phone/"
JUDGING = ("rules/", "sheet/", "filling/")
"""Where texts stand that the phone's own Python says."""


def path_of(language: str) -> Path:
    """Where a language's catalogue is kept."""
    return HERE / language / "LC_MESSAGES" / "heaterapp.po"


def scope_of(place: str) -> str:
    """Whose patterns a text belongs to, by where it was found.

    >>> scope_of("rules/checks/pan/depth.py"), scope_of("rules/checks/pan/__init__.py")
    ('pan.depth', 'pan')
    >>> scope_of("rules/figures/water.py"), scope_of("rules/settle.py")
    ('figures', 'common')
    """
    parts = place.removesuffix(".py").split("/")
    if parts[:2] == ["rules", "checks"]:
        return parts[2] if parts[3] == "__init__" else ".".join(parts[2:4])
    if parts[:2] == ["sheet", "draw"]:
        return "draw"
    return "figures" if parts[:2] == ["rules", "figures"] else COMMON


@cache
def of_scripts(language: str) -> dict[str, str]:
    """The texts that scripts of the pages on line say, in a language; empty where there is no catalogue."""
    if not path_of(language).is_file():
        return {}
    return {
        str(one.id): str(one.string)
        for one in _messages(language)
        if any(place.startswith(OF_SCRIPTS) and not place.startswith(OF_PHONES) for place, _ in one.locations)
    }


@cache
def for_phones(language: str) -> bytes:
    """The catalogue as the phone's own Python is taught it: JSON, without what only other pages say.

    raises  LookupError where there is none
    """
    own = _read(language, lambda place: place.startswith(JUDGING))
    return json.dumps(own.as_json(), ensure_ascii=False, separators=(",", ":")).encode()


def read(language: str) -> Catalogue:
    """Read a language's catalogue; what is marked as doubtful (fuzzy) is left out.

    raises  LookupError where there is none
    """
    return _read(language, lambda place: True)


def _read(language: str, wanted: Callable[[str], bool]) -> Catalogue:
    if not path_of(language).is_file():
        raise LookupError(f"no catalogue for {language}")
    texts: dict[str, str] = {}
    patterns: dict[str, list[tuple[str, str]]] = {}
    for one in _messages(language):
        text, said = str(one.id), str(one.string)
        places = [place for place, _ in one.locations if wanted(place)]
        if places and not has_holes(text):
            texts[text] = said
            continue
        for scope in sorted({scope_of(place) for place in places}):
            patterns.setdefault(scope, []).append((text, said))
    return Catalogue(texts, patterns)


@cache
def _messages(language: str) -> list[Any]:
    from babel.messages.pofile import read_po

    with path_of(language).open("rb") as held:
        return [one for one in read_po(held, locale=language) if one.id and one.string and not one.fuzzy]
