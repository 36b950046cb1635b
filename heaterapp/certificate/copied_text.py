"""Lines whose letters join, stack or change places carry their text beside their glyphs.

The renderer writes for every glyph once what it reads as. Where a syllable is several
glyphs, or one glyph is drawn in many syllables (Thai, Indic, Khmer, Burmese, ...),
that cannot be right twice, so the text of such a line is written into the mark that
the renderer puts around it (ISO 32000-1, 14.9.4, ActualText): who copies, searches or
listens meets what was typed.

A bracket in a text from the right is drawn as its counterpart, and the renderer lets that
glyph read as what was typed there, on all of the paper: (60 + 14.7) would be read as )60 + 14.7(.
So every such glyph reads as what it shows.
"""

from __future__ import annotations

import io
import re
import unicodedata
from collections.abc import Iterator
from contextlib import contextmanager
from typing import Any

import pydyf
from fontTools.ttLib import TTFont
from weasyprint.formatting_structure.boxes import Box, TextBox
from weasyprint.pdf.stream import Stream

from .lettering import SAFE_FORMATS, SPACES, printable

_MAYBE = re.compile("[^\x00-\u02ff\u2010-\u2fff]")
"""Letters beyond European ones without marks, and beyond signs: most lines have none."""


def needs_its_text(line: str) -> bool:
    """Whether the glyphs of a line do not tell its text; those from the right are read where they stand."""
    if not _MAYBE.search(line):
        return False
    return any(map(_joins, line)) and not any(map(_from_the_right, line))


def _joins(letter: str) -> bool:
    if letter in SAFE_FORMATS or unicodedata.category(letter)[0] == "M":
        return True
    if letter in printable() or letter in SPACES:
        return False
    return unicodedata.east_asian_width(letter) not in "WF"


def _from_the_right(letter: str) -> bool:
    # Readers turn such letters round from where they stand, but not those beyond the first plane.
    return letter < "\U00010000" and unicodedata.bidirectional(letter) in ("R", "AL")


_marked = Stream.marked


@contextmanager
def _marked_with_its_text(self: Any, box: Box, tag: str) -> Iterator[None]:
    with _marked(self, box, tag):
        if isinstance(box, TextBox) and self._tags is not None and needs_its_text(box.text):
            self.stream[-2]["ActualText"] = pydyf.String(box.text.replace("\u00a0", " "))
        yield


_add_font = Stream.add_font
_mirrored: dict[str, dict[int, str]] = {}


class _AsShown(dict[int, str]):
    """What each glyph of a face reads as: one that is drawn the other way round, as it stands there."""

    def __init__(self, font: Any) -> None:
        super().__init__()
        self._font = font

    def __setitem__(self, glyph: int, text: str) -> None:
        if len(text) == 1 and unicodedata.mirrored(text):
            text = self._shown().get(glyph, text)
        super().__setitem__(glyph, text)

    def _shown(self) -> dict[int, str]:
        face = self._font.hash
        if face not in _mirrored:
            with TTFont(io.BytesIO(self._font.file_content), lazy=True, fontNumber=self._font.index) as font:
                # Glyphs by their numbers: reading the names of 50,000 takes a tenth of a second.
                font.setGlyphOrder([str(glyph) for glyph in range(font["maxp"].numGlyphs)])
                has = {chr(point): int(name) for point, name in font.getBestCmap().items()}
            _mirrored[face] = {glyph: letter for letter, glyph in has.items() if unicodedata.mirrored(letter)}
        return _mirrored[face]


def _added_as_shown(self: Any, pango_font: Any) -> Any:
    font, size = _add_font(self, pango_font)
    if not isinstance(font.to_unicode, _AsShown):
        font.to_unicode = _AsShown(font)
    return font, size


def keep_text_of_joined_letters() -> None:
    """Let the renderer of this process write the text of such lines, from now on."""
    Stream.marked = _marked_with_its_text
    Stream.add_font = _added_as_shown
