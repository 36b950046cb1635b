"""Lines whose letters join, stack or change places carry their text beside their glyphs.

The renderer writes for every glyph once what it reads as. Where a syllable is several
glyphs, or one glyph is drawn in many syllables (Thai, Indic, Khmer, Burmese, ...),
that cannot be right twice, so the text of such a line is written into the mark that
the renderer puts around it (ISO 32000-1, 14.9.4, ActualText): who copies, searches or
listens meets what was typed.
"""

from __future__ import annotations

import re
import unicodedata
from collections.abc import Iterator
from contextlib import contextmanager
from typing import Any

import pydyf
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


def keep_text_of_joined_letters() -> None:
    """Let the renderer of this process write the text of such lines, from now on."""
    Stream.marked = _marked_with_its_text
