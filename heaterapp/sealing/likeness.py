"""How like two files are: a few bytes changed, or the same paper written anew by another program."""

from __future__ import annotations

import io
import re
from collections.abc import Sequence
from typing import NamedTuple

from .quiet import unheard
from .reading import has_end

ALIKE = 0.95
"""Of a file's bytes, at their places or shifted: so many must be the same for it to be the same file, hit."""
STEP = 4096
MOST_NAMED = 3
LONGEST_TITLE = 200
OF_EVERY_PAPER = "job-schema.json"
"""An attachment that is the same in papers of different records, and marks none."""
_NUMBER = re.compile(r"\b[A-Z][A-Z0-9]{0,7}-[0-9]{1,12}\b")


def is_near(body: bytes, stored: bytes) -> str:
    """Say where a file differs from a stored one that it is nearly the same as; nothing of any other."""
    shared = min(len(body), len(stored))
    if shared < ALIKE * len(stored):
        return ""
    places = _differing(body, stored, shared)
    if len(places) <= (1 - ALIKE) * shared:
        named = ", ".join(f"{one:,}" for one in places[:MOST_NAMED])
        more = f" and {len(places) - MOST_NAMED:,} more" if len(places) > MOST_NAMED else ""
        count = f"{len(places):,} byte{'s' if len(places) != 1 else ''} of the paper changed"
        return f"{count}, at place {named}{more} (counted from 0)." if places else ""
    same = places[0] + _same_end(body, stored, shared - places[0])
    if same >= ALIKE * max(len(body), len(stored)):
        return f"Bytes were put in or taken out from place {places[0]:,} on (counted from 0)."
    return ""


def _differing(body: bytes, stored: bytes, shared: int) -> list[int]:
    found: list[int] = []
    for start in range(0, shared, STEP):
        ours, theirs = stored[start : min(start + STEP, shared)], body[start : min(start + STEP, shared)]
        if ours != theirs:
            found += [start + at for at, (a, b) in enumerate(zip(ours, theirs, strict=True)) if a != b]
    return found


def _same_end(body: bytes, stored: bytes, most: int) -> int:
    same = 0
    while same < most and body[-1 - same] == stored[-1 - same]:
        same += 1
    return same


def marks_of(body: bytes) -> frozenset[bytes]:
    """Return what other programs leave of a file when they write it anew: identifier and check sums.

    They can be copied, so they show where a file comes from, never that it is whole.
    """
    from pyhanko.pdf_utils.reader import PdfFileReader

    found: set[bytes] = set()
    if not has_end(body):
        return frozenset()
    try:
        with unheard():
            reader = PdfFileReader(io.BytesIO(body), strict=False)
            identifier = reader.trailer_view.get("/ID")
            if identifier:
                found.add(_raw(identifier[0]))
            names = reader.root["/Names"]["/EmbeddedFiles"]["/Names"]
            for at in range(1, len(names), 2):
                if str(names[at].get("/UF", "")) == OF_EVERY_PAPER:
                    continue
                found.add(_raw(names[at]["/EF"]["/F"]["/Params"]["/CheckSum"]))
    except Exception:
        # Whatever a file from anywhere does to a reader: what was found before it stands.
        return frozenset(found - {b""})
    return frozenset(found - {b""})


class Called(NamedTuple):
    """What a file calls itself: the number in its title, its language, its identifier; each may be empty."""

    number: str = ""
    language: str = ""
    identifier: bytes = b""


def called(body: bytes) -> Called:
    """Return what a file calls itself. All of it can be copied, and shows where a file comes from at most."""
    from pyhanko.pdf_utils.reader import PdfFileReader

    if not has_end(body):
        return Called()
    try:
        with unheard():
            reader = PdfFileReader(io.BytesIO(body), strict=False)
            title = str(reader.trailer_view["/Info"]["/Title"])[:LONGEST_TITLE]
            language = str(reader.root.get("/Lang", ""))[:LONGEST_TITLE].partition("-")[0].lower()
            identifier = reader.trailer_view.get("/ID")
    except Exception:
        return Called()
    found = _NUMBER.search(title)
    return Called(found.group() if found else "", language, _raw(identifier[0]) if identifier else b"")


def number_in(body: bytes) -> str:
    """Return the paper's number as a file's title has it, such as C-000123; nothing where it has none."""
    return called(body).number


def is_translation(
    body: bytes, number: str, papers: Sequence[bytes], copies: frozenset[bytes] = frozenset()
) -> bool:
    """Whether a file calls itself the paper of this number in a language that none of its papers is in.

    copies  identifiers of what is made of the paper on request: a file of such a one is told by that
    """
    one, others = called(body), [called(paper) for paper in papers]
    if one.identifier in copies:
        return True
    known = {other.language for other in others} | {""}
    own = one.identifier and one.identifier not in {other.identifier for other in others}
    return bool(own) and one.number == number and one.language not in known


def _raw(held: object) -> bytes:
    return bytes(getattr(held, "original_bytes", b"") or (held if isinstance(held, bytes) else b""))
