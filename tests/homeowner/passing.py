"""The words for a pass, which no page may have whose paper is not a certificate."""

from __future__ import annotations

import re

PASSING = re.compile(
    r"\b(meets?|passe[sd]|passing|compl(y|ies|iant)|certif\w+|in order|cumple[n]?|aprobado|certificad[oa])\b",
    re.I,
)
NOT_ONE = re.compile(r"This is not a certificate\.|Esto no es un certificado\.", re.I)


def passing_words(text: str) -> list[str]:
    """The words of passing in a text, its own "this is not a certificate" left out."""
    return [found.group(0) for found in PASSING.finditer(NOT_ONE.sub("", text))]
