"""What the letters of a file read as: ordinary ones, whatever shape they were set in."""

from __future__ import annotations

import re

import pydyf

from heaterapp.font_fractions import READ_AS

_OURS = re.compile(b" <(00a0|e1[012][0-9a-f]|)>")
_NO_LETTER = "\u200b"


def read_plainly(pdf: pydyf.PDF) -> None:
    """Let who searches, copies or listens meet ordinary letters.

    A space at which no line may end is a space, and a small figure of a fraction is that figure. A
    part of a syllable that is read with another part of it has no width: it must read as something.
    """
    for one in pdf.objects:
        if isinstance(one, pydyf.Stream) and b"/CMapType 2 def" in one.stream[:20]:
            one.stream = [_OURS.sub(_plain, line) for line in one.stream]


def _plain(found: re.Match[bytes]) -> bytes:
    letter = READ_AS.get(int(found[1], 16), " ") if found[1] else _NO_LETTER
    return f" <{ord(letter):04x}>".encode()
