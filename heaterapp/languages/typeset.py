"""Signs as print has them: a report keeps what any keyboard has, 120 F, 2 x 3, 4^2, and is read otherwise.

Standard library only, for the phone tells the same sentences.
"""

from __future__ import annotations

import re
from decimal import Decimal

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
_SMALL = re.compile(r"\b[0-9]+(?:\.[0-9]+)?e-[0-9]+\b")
_POWER = re.compile(r"\^(?=[0-9])")
_ANY = re.compile(
    r"[0-9](?: [FC]\b|°F| deg\b| x | - |e-)|\^|\b(?:cos|sin|tan) |[)\]] [x-] |(?<![\w.)\]/-])-[0-9]"
)
"""What has none of these is left as it is at once: most sentences have none."""


def typeset(text: str, language: str = "en") -> str:
    """A sentence of a report with its signs as print has them; what somebody typed stays.

    >>> typeset("Tap 140 F, 18 x 2 - 4^2 in, at -20 F"), typeset("100.2 / (2 cos 29.5) = 57.6 lb; 29.5 deg")
    ('Tap 140 °F, 18 × 2 − 4² in, at −20 °F', '100.2 / (2 cos 29.5°) = 57.6 lb; 29.5°')
    >>> typeset("14.696 x (1 - 6.8754e-6 x 120)^5.2559")
    '14.696 × (1 − 0.0000068754 × 120) to the power 5.2559'
    """
    if not _ANY.search(text) or text.startswith(UNMEASURED):
        return text
    text = _SMALL.sub(lambda found: format(Decimal(found[0]), "f"), text)
    for sign, printed in _SIGNS:
        text = sign.sub(printed, text)
    text = _POWER.sub(POWER.get(language, POWER["en"]), text)
    return re.sub(r"\bsin (?=[0-9])", "sen ", text) if language == "es" else text
