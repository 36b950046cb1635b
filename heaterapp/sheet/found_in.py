"""What a finding found, in a language that is named."""

from __future__ import annotations

from collections.abc import Mapping
from typing import Any

from ..languages import SOURCE, speaking
from ..languages.patterns import wordless
from .bounds import found_words


def found_in(finding: Mapping[str, Any], language: str) -> str:
    """Return what was found as the paper has it; nothing where the language has no words for it.

    >>> found_in({"found": "68", "limit": None, "unit": "in", "verdict": "fails"}, "es")
    '68 in'
    """
    with speaking(SOURCE):
        plain, _ = found_words(finding)
    with speaking(language):
        said, _ = found_words(finding)
    known = language == SOURCE or said != plain or wordless(plain)
    return said.rstrip(".") if known else ""
