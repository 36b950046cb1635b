"""What the two embedded families can print, and what is printed where they cannot: the code point in a box.

Without this a missing letter would bring in whatever font the machine happens to
have, and the same record would give other bytes elsewhere.
"""

from __future__ import annotations

import re
import unicodedata
from functools import lru_cache
from typing import Any

from fontTools.ttLib import TTFont
from markupsafe import Markup, escape

from heaterapp.fonts import FACES, font_files

LONGEST = 4000
MOST_MARKS = 3
SPACES = "\t\n\r\x0b\x0c\x85\u2028\u2029"
SAFE_FORMATS = "\u200c\u200d"
"""Joiners that Persian and Arabic names need."""

_OF_A_TAPE = re.compile(r"(?<=[0-9]) (?=(?:1/2|[13]/4|[1357]/8|(?:1[135]|[13579])/16)(?![0-9/]))")
"""The space within 34 3/4: no line ends there, or somebody reads 34."""

# Characters that are drawn in color by default (Unicode emoji-data.txt, Emoji_Presentation, below
# U+10000; from memory): the layout library would look for a color font for them, ours or not.
_COLORED = (
    0x231A, 0x231B, 0x23E9, 0x23EA, 0x23EB, 0x23EC, 0x23F0, 0x23F3, 0x25FD, 0x25FE, 0x2614, 0x2615,
    *range(0x2648, 0x2654), 0x267F, 0x2693, 0x26A1, 0x26AA, 0x26AB, 0x26BD, 0x26BE, 0x26C4, 0x26C5,
    0x26CE, 0x26D4, 0x26EA, 0x26F2, 0x26F3, 0x26F5, 0x26FA, 0x26FD, 0x2705, 0x270A, 0x270B, 0x2728,
    0x274C, 0x274E, 0x2753, 0x2754, 0x2755, 0x2757, 0x2795, 0x2796, 0x2797, 0x27B0, 0x27BF, 0x2B1B,
    0x2B1C, 0x2B50, 0x2B55,
)  # fmt: skip
EMOJI = frozenset(map(chr, _COLORED))


class English(str):
    """A text in English on a paper in another language; whoever reads the paper aloud is told so."""

    __slots__ = ()


@lru_cache(maxsize=1)
def printable() -> frozenset[str]:
    """Every character that both weights of one of the families can print."""
    files = font_files()
    families: dict[str, set[int]] = {}
    for face in FACES:
        with TTFont(files[f"{face.stem}.ttf"], lazy=True) as font:
            has = set(font.getBestCmap())
        families[face.family] = families.get(face.family, has) & has
    return frozenset(chr(point) for has in families.values() for point in has)


@lru_cache(maxsize=1)
def _advances() -> dict[str, float]:
    with TTFont(font_files()[f"{FACES[0].stem}.ttf"], lazy=True) as font:
        widths, names, em = font["hmtx"], font.getBestCmap(), font["head"].unitsPerEm
        return {chr(point): widths[name][0] / em for point, name in names.items()}


def width(text: str, size: float) -> float:
    """About how wide a line is set in the regular face, in the unit of `size`; for choosing breaks only."""
    advances = _advances()
    return size * sum(advances.get(letter, 0.8) for letter in text)


def _prints(letter: str, before: str) -> bool:
    if letter in EMOJI or letter not in printable() or letter > "\U0001efff":
        return False
    kind = unicodedata.category(letter)
    if kind in ("Cc", "Cf", "Cs", "Co"):
        return letter in SAFE_FORMATS
    if kind in ("Mn", "Me"):
        return not all(unicodedata.category(one) in ("Mn", "Me") for one in before[-MOST_MARKS:])
    return True


def lettered(value: Any) -> Any:
    """Text made fit to print: escaped, one line, what no font has as a boxed code point.

    value    text; markup of our own and whole numbers pass through
    returns  markup

    >>> lettered("Tom & <b>")
    Markup('Tom &amp; &lt;b&gt;')
    >>> lettered("\\u6c34")
    Markup('<span class="box">6C34</span>')
    >>> lettered("34 3/4 in")
    Markup('34\\xa03/4 in')
    """
    if not isinstance(value, str) or isinstance(value, Markup):
        return value
    if isinstance(value, English):
        return Markup('<blockquote lang="en">{}</blockquote>').format(lettered(str(value)))
    if value.isascii() and value.isprintable() and len(value) <= LONGEST:
        plain = escape(value)
        return Markup(_OF_A_TAPE.sub("\u00a0", plain)) if "/" in value else plain  # noqa: S704 - escaped
    whole = unicodedata.normalize("NFC", value[:LONGEST])
    parts: list[str] = []
    for index, letter in enumerate(whole):
        if letter in SPACES:
            parts.append(" ")
        elif letter in "\ufe0e\ufe0f\xad":
            continue
        elif _prints(letter, whole[max(0, index - MOST_MARKS) : index] or " "):
            parts.append(str(escape(letter)))
        else:
            parts.append(f'<span class="box">{ord(letter):04X}</span>')
    return Markup(_OF_A_TAPE.sub("\u00a0", "".join(parts)))  # noqa: S704 - every piece is escaped or ours


def boxed(text: str) -> str:
    """The same for plain text, such as a PDF title: what is no letter of ours as its code point."""
    whole = unicodedata.normalize("NFC", text[:LONGEST])
    before = (whole[max(0, at - MOST_MARKS) : at] or " " for at in range(len(whole)))
    return "".join(
        " " if c in SPACES else c if _prints(c, to) else f"[{ord(c):04X}]"
        for c, to in zip(whole, before, strict=True)
    )
