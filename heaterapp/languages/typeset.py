"""Signs as print has them: a report keeps what any keyboard has, 120 F, 2 x 3, 4^2, and is read otherwise.

Standard library only, for the phone tells the same sentences.
"""

from __future__ import annotations

import re
from decimal import Decimal
from itertools import cycle

from .patterns import typed_in

UNMEASURED = ("Could not be measured", "No se pudo medir")
"""How a sentence begins that has somebody's own words in it, which stay as they were typed."""
POWER = {"en": " to the power ", "es": " elevado a "}
_SIGNS = (
    (re.compile(r"(?<=[0-9]) F\b(?!-)"), " °F"),
    (re.compile(r"(?<=[0-9])°F\b"), " °F"),
    (re.compile(r"\b(60|75|90) C\b"), r"\1 °C"),
    (re.compile(r"(?<=[0-9]) deg\b"), "°"),
    (re.compile(r"\b(cos|sin|sen|tan) ([0-9][0-9.]*)(?![0-9.]|°)"), r"\1 \2°"),
    (re.compile(r"(?<=[0-9)\]]) x (?=[0-9(\[-])"), " × "),
    (re.compile(r"(?<=[0-9)\]]) - (?=[0-9(\[])"), " − "),
    (re.compile(r"(?<![\w.)\]/-])-(?=[0-9])"), "−"),
    (re.compile(r"\^2\b(?!\.)"), "²"),
    (re.compile(r"\^3\b(?!\.)"), "³"),
)
SPANISH_UNITS = {"Btu/cu ft": "Btu/pie³", "sq in": "pulg²", "cu ft": "pies³"}
"""Units that are words, as the glossary has them: a sign of the trade stays as it is."""
_UNIT = re.compile(r"\b(?:Btu/cu ft|sq in|cu ft)\b")
_SMALL = re.compile(r"\b[0-9]+(?:\.[0-9]+)?e-[0-9]+\b")
_POWER = re.compile(r"\^(?=[0-9])")
_ANY = re.compile(
    r"[0-9](?: [FC]\b|°F| deg\b| x | - |e-)|\^|\b(?:cos|sin|tan) |[)\]] [x-] |(?<![\w.)\]/-])-[0-9]"
)
"""What has none of these is left as it is at once: most sentences have none."""


def typeset(text: str, language: str = "en", english: str = "") -> str:
    """A sentence of a report with its signs as print has them; what somebody typed or “quoted” stays.

    english  the sentence as a report holds it, by which is known what was typed; the text itself if left out

    >>> typeset("Tap 140 F, 18 x 2 - 4^2 in, at -20 F"), typeset("100.2 / (2 cos 29.5) = 57.6 lb; 29.5 deg")
    ('Tap 140 °F, 18 × 2 − 4² in, at −20 °F', '100.2 / (2 cos 29.5°) = 57.6 lb; 29.5°')
    >>> typeset("14.696 x (1 - 6.8754e-6 x 120)^5.2559")
    '14.696 × (1 − 0.0000068754 × 120) to the power 5.2559'
    >>> typeset("“9599 - 1”: 2 x 3"), typeset("Permiso emitido: 2 x 3.", "es", "Permit issued: 2 x 3.")
    ('“9599 - 1”: 2 × 3', 'Permiso emitido: 2 x 3.')
    """
    if text.startswith(UNMEASURED) or not (_ANY.search(text) or (language == "es" and _UNIT.search(text))):
        return text
    typed = "|".join((*map(re.escape, typed_in(english or text)), "“[^”]*”"))
    parts = re.split(f"({typed})", text)
    return "".join(one if typed else _printed(one, language) for typed, one in zip(cycle((0, 1)), parts))


def in_signs(formula: str) -> str:
    """A formula in words with × and − between them: a letter x and a dash stand in it for nothing else.

    >>> in_signs("above it, rating x (1 - share x elevation / 1000)"), in_signs("a max-size box, extra")
    ('above it, rating × (1 − share × elevation / 1000)', 'a max-size box, extra')
    """
    printed = formula.replace(" x ", " × ").replace(" - ", " − ")
    # What is marked as English stays marked.
    return printed if type(formula) is str else type(formula)(printed)


def units_in(language: str, text: str) -> str:
    """A text with the units that are words in a language.

    >>> units_in("es", "28 sq in"), units_in("en", "28 sq in")
    ('28 pulg²', '28 sq in')
    """
    return _UNIT.sub(lambda found: SPANISH_UNITS[found[0]], text) if language == "es" else text


def _printed(text: str, language: str) -> str:
    text = units_in(language, text)
    text = _SMALL.sub(lambda found: format(Decimal(found[0]), "f"), text)
    for sign, printed in _SIGNS:
        text = sign.sub(printed, text)
    text = _POWER.sub(POWER.get(language, POWER["en"]), text)
    return re.sub(r"\bsin (?=[0-9])", "sen ", text) if language == "es" else text
