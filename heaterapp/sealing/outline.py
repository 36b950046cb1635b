"""What the check page may know of a stored paper, so that a browser tells a hit file from another one.

The bytes of a paper stay where they are. Of each of its 64 parts a single hex digit is told: many of them are
never alike by chance, and by one of them nobody can try out what a part says. Whether a file is the paper,
its whole SHA-256 says alone. `static/outline.js` reads the same.
"""

from __future__ import annotations

import hashlib
from dataclasses import dataclass
from typing import NamedTuple

from .origin import identifiers

PARTS = 64
FEWEST = 4
"""Parts that must be there, and as they were, for a file to be the beginning of a paper."""
MOST_ENDS = 8
"""Places tried at which the paper may end in a file that has more after it."""
_END = b"%%EOF"


@dataclass(frozen=True)
class Outline:
    """A stored paper without its bytes.

    parts       a hex digit for each part of `size` / 64 bytes, rounded up: the first of the part's SHA-256
    identifier  what names it to readers of PDF, in hex
    """

    name: str
    size: int
    sha256: str
    parts: str
    identifier: str


class Near(NamedTuple):
    """How a file is like a paper that it is not.

    kind   "cut_short" or "changed"
    alike  how many parts are as they were
    first  where the first part that is not begins and ends; two noughts where none is seen
    """

    kind: str
    alike: int
    first: tuple[int, int] = (0, 0)


def outline_of(name: str, body: bytes) -> Outline:
    """Return what may be told of a stored paper."""
    step = _step(len(body))
    parts = "".join(_digit(body[at : at + step]) for at in range(0, len(body), step))
    named = min(identifiers(body), default="")
    return Outline(name, len(body), hashlib.sha256(body).hexdigest(), parts, named)


def near(body: bytes, paper: Outline) -> Near | None:
    """Return how a file is like a paper, None where less than half of it is."""
    step, count = _step(paper.size), len(paper.parts)
    there = [at for at in range(count) if min((at + 1) * step, paper.size) <= len(body)]
    same = [_is_part(body, paper, at, 0) for at in there]
    if len(body) < paper.size and len(same) >= FEWEST and all(same):
        return Near("cut_short", len(same))
    ahead = next((at for at, one in enumerate(same) if not one), len(same))
    alike = max(sum(same), min(count, ahead + _behind(body, paper)))
    if 2 * alike < count:
        return None
    first = (ahead * step, min((ahead + 1) * step, paper.size)) if ahead < count else (0, 0)
    return Near("changed", alike, first)


def _behind(body: bytes, paper: Outline) -> int:
    """How many of the last parts stand in a row before one of the places where the paper may end."""
    ends, at = [len(body)], body.find(_END)
    while at >= 0 and len(ends) < 1 + 3 * MOST_ENDS:
        ends += [at + len(_END) + more for more in range(3)]
        at = body.find(_END, at + 1)
    return max(_row(body, paper, end - paper.size) for end in ends)


def _row(body: bytes, paper: Outline, moved: int) -> int:
    found, last = 0, len(paper.parts) - 1
    while moved and found <= last and _is_part(body, paper, last - found, moved):
        found += 1
    return found


def _is_part(body: bytes, paper: Outline, at: int, moved: int) -> bool:
    step = _step(paper.size)
    begins, ends = at * step + moved, min((at + 1) * step, paper.size) + moved
    return 0 <= begins and ends <= len(body) and _digit(body[begins:ends]) == paper.parts[at]


def _step(size: int) -> int:
    return -(-size // PARTS) or 1


def _digit(part: bytes) -> str:
    return hashlib.sha256(part).hexdigest()[0]
