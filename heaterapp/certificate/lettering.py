"""What our faces can print, and what is printed where none can: the code point in a box.

Two families letter every paper; a letter that both lack is sought in the further
ones, by its script. Without this a missing letter would bring in whatever font the
machine happens to have, and the same record would give other bytes elsewhere.
"""

from __future__ import annotations

import re
import unicodedata
from bisect import bisect_right
from collections.abc import Iterable
from functools import cache, lru_cache
from typing import Any

from fontTools.ttLib import TTFont
from markupsafe import Markup, escape

from heaterapp.font_faces import FACES, SCRIPTS, Face, faces_of
from heaterapp.fonts import font_files

LONGEST = 4000
BOX_PT, BOX_EDGE_PT = 7.0, 2.8
"""Of a boxed code point its letters, and what stands beside them with the lines; as in certificate.css."""
MOST_MARKS = 3
MOST_OF_A_SYLLABLE = 6
"""Marks that a syllable of a Tibetan or Burmese name may have, below and beside its letter."""
SPACES = "\t\n\r\x0b\x0c\x85\u2028\u2029"
SAFE_FORMATS = "\u200c\u200d"
"""Joiners that Persian and Arabic names need."""

_SHAPES = re.compile(
    "[\u180b-\u180e\ufe00-\ufe0f\xad\U000e0100-\U000e01ef\u061c\u200b\u200e\u200f\u202a-\u202c\u2060-\u2064\u2066-\u206f\ufeff]"
)
"""Wishes for one shape of the letter before them, where a word may break, and the marks of direction that
come along with what is pasted: none is a letter. What turns letters round against their own way
(U+202D, U+202E) is shown."""
_TALL = re.compile(
    "[\u0f00-\u109f\u1b00-\u1b7f\ua980-\ua9ff\uaa60-\uaa7f]"
    "[\u0f00-\u109f\u1b00-\u1b7f\ua980-\ua9ff\uaa60-\uaa7f\u200c\u200d]*"
)
"""Tibetan, Burmese, Balinese and Javanese: what hangs under their letters runs into a usual line's next."""
TALL_LINE = 1.6
_BOXED = re.compile(r"(\[[0-9A-F]{4,6}\])")
_OF_A_TAPE = re.compile(r"(?<=[0-9]) (?=(?:1/2|[13]/4|[1357]/8|(?:1[135]|[13579])/16)(?![0-9/]))")
"""The space within 34 3/4: no line ends there, or somebody reads 34."""
_BEFORE_A_UNIT = re.compile(
    r"(?<=[0-9]) (?=(?:in|ft|psia?|gal|lb|kW|Btu|AWG|kPa|mm|\u00b0F|(?:sq|cu)\u00a0(?:in|ft)|pies\u00b3|min"
    r"|thousand|mil|[AVW](?=$|[.,;:)]| [a-z(]))(?![A-Za-z0-9'\u2019]))"
)
_WITH_A_STROKE = re.compile(r"\bBtu/h\b")
"""A line would end after the stroke."""
_MEASURED = re.compile("[0-9] ")
_WITHIN_A_UNIT = re.compile(r"(?<=[0-9] (?:sq|cu)) (?=(?:in|ft)\b)")

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


def _of_both_weights(faces: Iterable[Face]) -> set[int]:
    files = font_files()
    has: list[set[int]] = []
    for face in faces:
        with TTFont(files[f"{face.stem}.ttf"], lazy=True) as font:
            # Which glyph it is does not matter, and reading the names of 50,000 takes a tenth of a second.
            font.setGlyphOrder([""] * font["maxp"].numGlyphs)
            has.append(set(font.getBestCmap()))
    return set.intersection(*has)


@lru_cache(maxsize=1)
def printable() -> frozenset[str]:
    """Every character that both weights of one of the papers' usual families can print."""
    families = {face.family for face in FACES}
    points = (_of_both_weights(face for face in FACES if face.family == family) for family in families)
    return frozenset(map(chr, set[int]().union(*points)))


@lru_cache(maxsize=len(SCRIPTS))
def _spans(family: str) -> list[int]:
    """Where the letters of a further family begin and end and begin again: the large ones have 30,000."""
    points = _of_both_weights(faces_of((family,)))
    return sorted(points ^ {one + 1 for one in points})


@lru_cache(maxsize=4096)
def further_family(letter: str) -> str | None:
    """The further family that prints a letter which is not `printable`; None where none does."""
    from fontTools.unicodedata import script_extension

    scripts = script_extension(letter)
    asked = (family for family, its in SCRIPTS.items() if not scripts.isdisjoint(its))
    return next((family for family in asked if bisect_right(_spans(family), ord(letter)) % 2), None)


def further_families(markup: str) -> tuple[str, ...]:
    """The further families that a page wants, in their own order."""
    if markup.isascii():
        return ()
    found = {further_family(letter) for letter in set(markup).difference(printable(), SPACES, SAFE_FORMATS)}
    return tuple(family for family in SCRIPTS if family in found)


@lru_cache(maxsize=1)
def _advances() -> dict[str, float]:
    found: dict[str, float] = {}
    for face in (FACES[2], FACES[0]):
        with TTFont(font_files()[f"{face.stem}.ttf"], lazy=True) as font:
            widths, names, em = font["hmtx"], font.getBestCmap(), font["head"].unitsPerEm
            found |= {chr(point): widths[name][0] / em for point, name in names.items()}
    return found


def width(text: str, size: float) -> float:
    """About how wide a line is set in the regular face, in the unit of `size`; for choosing breaks only."""
    advances = _advances()
    return size * sum(advances.get(letter) or _advance(letter) for letter in text)


def height(text: str, line: float) -> float:
    """How high a line of these letters is set, in the unit of `line`, the height of a usual one [em].

    Marks above and below the letters of some scripts need more room than a usual line has.
    """
    above, below = _room(f"{FACES[0].stem}.ttf")
    leading = (line - above - below) / 2
    usual = above + leading, below + leading
    for face in faces_of(further_families(text)):
        above, below = map(max, (above, below), _room(f"{face.stem}.ttf"))
    if _TALL.search(text):
        line = max(line, TALL_LINE)
    leading = (line - above - below) / 2
    return max(usual[0], above + leading) + max(usual[1], below + leading)


@cache
def _room(file: str) -> tuple[float, float]:
    with TTFont(font_files()[file], lazy=True) as font:
        return font["hhea"].ascent / font["head"].unitsPerEm, -font["hhea"].descent / font["head"].unitsPerEm


def _advance(letter: str) -> float:
    if unicodedata.category(letter) == "Mn":
        return 0.0
    return 1.0 if unicodedata.east_asian_width(letter) in "WF" else 0.8


def _prints(letter: str, before: str) -> bool:
    if letter in EMOJI or letter > "\U0001efff":
        return False
    kind = unicodedata.category(letter)
    if kind in ("Cc", "Cf", "Cs", "Co"):
        return letter in SAFE_FORMATS
    if letter not in printable() and further_family(letter) is None:
        return False
    if kind in ("Mn", "Me"):
        most = MOST_OF_A_SYLLABLE if "\u0f00" <= letter <= "\u109f" else MOST_MARKS
        return not all(unicodedata.category(one) in ("Mn", "Me") for one in before[-most:])
    return True


def lettered(value: Any) -> Any:
    """Text made fit to print: escaped, one line, what no font has as a boxed code point.

    value    text; markup of our own and whole numbers pass through
    returns  markup

    >>> lettered("Tom & <b>")
    Markup('Tom &amp; &lt;b&gt;')
    >>> lettered("\\U0001f600")
    Markup('<span class="box">1F600</span>')
    >>> lettered("34 3/4 in")
    Markup('34\\xa03/4\\xa0in')
    """
    if not isinstance(value, str) or isinstance(value, Markup):
        return value
    if isinstance(value, English):
        return Markup('<blockquote lang="en">{}</blockquote>').format(lettered(str(value)))
    if value.isascii() and value.isprintable() and len(value) <= LONGEST:
        plain = escape(value)
        return _on_one_line(plain) if "/" in plain or _MEASURED.search(plain) else plain
    return _letter_by_letter(value[:LONGEST])


def kept_whole(text: str) -> str:
    """A text in which no line ends within a number, or between it and its unit.

    >>> kept_whole("at 34 3/4 in, 80 psi")
    'at 34\\xa03/4\\xa0in, 80\\xa0psi'
    """
    text = _WITHIN_A_UNIT.sub("\u00a0", _OF_A_TAPE.sub("\u00a0", text))
    return _BEFORE_A_UNIT.sub("\u00a0", text)


def _on_one_line(escaped: str) -> Markup:
    whole = kept_whole(escaped)
    if "/h" in whole:
        whole = _WITH_A_STROKE.sub(r'<span class="u">\g<0></span>', whole)
    return Markup(whole)  # noqa: S704 - every piece is escaped or ours


# A paper says the same "33 gal" and "meets" of many a check.
@lru_cache(maxsize=4096)
def _letter_by_letter(value: str) -> Markup:
    whole = unicodedata.normalize("NFC", _SHAPES.sub("", value))
    parts: list[str] = []
    for index, letter in enumerate(whole):
        if letter in SPACES:
            parts.append(" ")
        elif _prints(letter, whole[max(0, index - MOST_OF_A_SYLLABLE) : index] or " "):
            parts.append(str(escape(letter)))
        else:
            parts.append(f'<span class="box">{ord(letter):04X}</span>')
    apart = _TALL.sub(r'<span class="tall">\g<0></span>', "".join(parts))
    return _on_one_line(apart)


def pieces(word: str) -> tuple[tuple[str, float], ...]:
    """A word as its line may end within it: letters that stay together, or the width of a box [pt].

    >>> pieces("Oak")
    (('Oak', 0.0),)
    """
    if word.isascii():
        return ((word, 0.0),)
    found: list[tuple[str, float]] = []
    for one in filter(None, _BOXED.split(boxed(word))):
        code = _BOXED.fullmatch(one)
        found.append(("", width(one[1:-1], BOX_PT) + BOX_EDGE_PT) if code else (one, 0.0))
    return tuple(found)


def boxed(text: str) -> str:
    """The same for plain text, such as a PDF title: what is no letter of ours as its code point."""
    whole = unicodedata.normalize("NFC", _SHAPES.sub("", text[:LONGEST]))
    before = (whole[max(0, at - MOST_OF_A_SYLLABLE) : at] or " " for at in range(len(whole)))
    return "".join(
        " " if c in SPACES else c if _prints(c, to) else f"[{ord(c):04X}]"
        for c, to in zip(whole, before, strict=True)
    )
