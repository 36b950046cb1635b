"""What a finding found, in a language that is named."""

from __future__ import annotations

from collections.abc import Mapping
from typing import Any, NamedTuple

from ..languages import SOURCE, speaking
from ..languages.patterns import wordless
from .bounds import bound_of, found_words
from .draw.given import number


class Compared(NamedTuple):
    """What was found and its limit as the paper has them; which way it bounds, as `bound_of` says it."""

    found: str
    limit: str
    bound: str


def found_in(finding: Mapping[str, Any], language: str) -> str:
    """Return what was found as the paper has it; nothing where the language has no words for it.

    >>> found_in({"found": "68", "limit": None, "unit": "in", "verdict": "fails"}, "es")
    '68 in'
    """
    return _said(finding, language)[0]


def compared_in(finding: Mapping[str, Any], language: str) -> Compared:
    """Return what was found against its limit; nothing of what the language has no words for.

    >>> compared_in({"found": "1", "limit": "2", "unit": "in", "check": "pan.depth"}, "es")
    Compared(found='1 in', limit='2 in', bound='at least')
    >>> compared_in({"check": "of.older_rules"}, "en")
    Compared(found='', limit='', bound='')
    """
    whole = {"found": None, "limit": None, "unit": "", "verdict": "fails", **finding}
    found, limit = _said(whole, language)
    # Words that only say again what was found are no limit.
    repeated = whole["found"] == whole["limit"] and number(whole["limit"]) is None
    return Compared(found, "" if repeated else limit, bound_of(whole) if limit and not repeated else "")


def _said(finding: Mapping[str, Any], language: str) -> tuple[str, ...]:
    with speaking(SOURCE):
        plain = found_words(finding)
    with speaking(language):
        here = found_words(finding)
    pairs = zip(plain, here, strict=True)
    return tuple(
        said.rstrip(".") if language == SOURCE or said != one or wordless(one) else "" for one, said in pairs
    )
