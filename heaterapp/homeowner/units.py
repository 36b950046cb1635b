"""Units as they are said at home, inches for in; what a gauge or a plate has, psi and Btu/h, stays."""

from __future__ import annotations

import re

from heaterapp.homeowner.said import Said, is_one

WORDS = {
    "in. w.c.": (Said("inch of water", "pulgada de agua"), Said("inches of water", "pulgadas de agua")),
    "cu ft": (Said("cubic foot", "pie cúbico"), Said("cubic feet", "pies cúbicos")),
    "sq in": (Said("square inch", "pulgada cuadrada"), Said("square inches", "pulgadas cuadradas")),
    "in": (Said("inch", "pulgada"), Said("inches", "pulgadas")),
    "ft": (Said("foot", "pie"), Said("feet", "pies")),
    "gal": (Said("gallon", "galón"), Said("gallons", "galones")),
    "lb": (Said("pound", "libra"), Said("pounds", "libras")),
    "A": (Said("amp", "amperio"), Said("amps", "amperios")),
    "V": (Said("volt", "voltio"), Said("volts", "voltios")),
    "AWG": (Said("gauge", "AWG"), Said("gauge", "AWG")),
}
"""A unit as papers write it -> its words, one and many."""
WRITTEN = {"pies³": "cu ft", "pulg²": "sq in"}
"""Units as papers in Spanish write them."""
_UNIT = "|".join(map(re.escape, (*WORDS, *WRITTEN)))
_MEASURED = re.compile(
    # An "in" before the name of a place is no inch.
    rf"(?<![\d.,/])(\d[\d,]*(?:\.\d+)?(?: \d+/\d+)?|\d+/\d+) (?:{_UNIT})(?![\w/]|-| (?:the|a) )"
)


def spelled(text: str, language: str) -> str:
    """Return a text of a paper with its units in words.

    >>> spelled("48 in beside, 1 in above", "en"), spelled("1 1/2 a 6 in", "es"), spelled("3,200 pies³", "es")
    ('48 inches beside, 1 inch above', '1 1/2 a 6 pulgadas', '3,200 pies cúbicos')
    >>> spelled("3.1 in. w.c.", "en"), spelled("95 psi", "en"), spelled("107,000 Btu/h", "en")
    ('3.1 inches of water', '95 psi', '107,000 Btu/h')
    >>> spelled("24 × 30 in", "en"), spelled("1/2 in", "es"), spelled("2 in the attic", "en")
    ('24 × 30 inches', '1/2 pulgada', '2 in the attic')
    """

    def worded(found: re.Match[str]) -> str:
        number = found[1]
        unit = found[0][len(number) + 1 :]
        one, many = WORDS[WRITTEN.get(unit, unit)]
        return f"{number} {(one if is_one(number) else many).of(language)}"

    return _MEASURED.sub(worded, text)
