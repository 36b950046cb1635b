"""What a file is, beside the papers as they are stored and the keys that its firm has had."""

from __future__ import annotations

import hashlib
from collections.abc import Sequence
from dataclasses import dataclass
from functools import cached_property

from .contents import Own, own_seal
from .keys import fingerprint
from .likeness import is_near, marks_of
from .reading import read

LARGEST = 50_100_000
"""Bytes: the largest paper that the archive keeps, and a seal."""
SOUND = ("stored", "sealed", "sealed_twin")
TAIL = 1_000_000
"""Bytes in which a seal is looked for that does not hold: behind the paper, or at the file's end."""
HEADER_WITHIN = 1024


@dataclass(frozen=True)
class Stored:
    """A paper as the archive has it."""

    number: str
    name: str
    body: bytes

    @cached_property
    def sha256(self) -> str:
        return hashlib.sha256(self.body).hexdigest()


@dataclass(frozen=True)
class Looked:
    """What a file turned out to be.

    kind         a word of `words.KINDS`
    paper        the stored paper that it is, begins with or was made of; None where none can be told
    fingerprint  the key whose seal holds in it, one of this firm's own; nothing without
    parts        what else is known: where bytes differ, what was added
    """

    kind: str
    paper: Stored | None = None
    fingerprint: str = ""
    parts: tuple[str, ...] = ()

    @property
    def sound(self) -> bool:
        """Whether it is the paper as this firm's archive gave it out, and nothing else."""
        return self.kind in SOUND


def look(body: bytes, certificates: Sequence[bytes], stored: Sequence[Stored]) -> Looked:
    """Say what a file is. Never raises for what stands in the file.

    body          the file, whole
    certificates  DER of every key that the firm has or had
    stored        the papers it may be, as they are stored
    """
    if not body:
        return Looked("no_pdf", parts=("It is empty: 0 bytes.",))
    if len(body) > LARGEST:
        return Looked("too_large", parts=(f"It has {len(body):,} bytes, and no paper has over {LARGEST:,}.",))
    for one in stored:
        if body == one.body:
            return Looked("stored", one)
    for one in sorted(stored, key=lambda one: len(one.body), reverse=True):
        if one.body and body.startswith(one.body):
            return _with_more(body, one, certificates)
    for one in stored:
        if len(body) < len(one.body) and one.body.startswith(body):
            return Looked("cut_short", one, parts=(f"{len(body):,} of {len(one.body):,} bytes are there.",))
    for one in stored:
        differing = is_near(body, one.body)
        if differing:
            return Looked("changed", one, parts=(differing,))
    if b"%PDF-" not in body[:HEADER_WITHIN]:
        return Looked("no_pdf")
    return _apart(body, certificates, stored)


def _with_more(body: bytes, paper: Stored, certificates: Sequence[bytes]) -> Looked:
    """The paper is whole at the file's beginning: what follows is its seal, or something else."""
    start = len(paper.body)
    own = own_seal(body, certificates, start)
    if own is not None:
        return _own(body, own, paper)
    more = f"{len(body) - start:,} bytes follow the paper."
    if _was_sealed(body[start : start + TAIL], certificates):
        return Looked("broken_seal", paper, parts=(more,))
    found = read(body, None, _known(certificates))
    if found.foreign:
        return Looked("foreign_seal", paper, parts=found.foreign)
    return Looked("added", paper, parts=(more, *found.added))


def _own(body: bytes, own: Own, paper: Stored | None) -> Looked:
    found = read(body, own)
    if own.end < len(body):
        return Looked("added_after_seal", paper, own.fingerprint, found.added)
    # Two readers that know nothing of each other must agree before a seal is called whole.
    if not found.whole:
        return Looked("broken_seal", paper, parts=found.heard)
    held = "sealed" if own.lower else "sealed_twin"
    return Looked(held if paper else "sealed_unknown", paper, own.fingerprint)


def _apart(body: bytes, certificates: Sequence[bytes], stored: Sequence[Stored]) -> Looked:
    """It begins like none of the stored papers."""
    own = own_seal(body, certificates)
    if own is not None:
        return _own(body, own, None)
    found = read(body, None, _known(certificates))
    if found.foreign:
        return Looked("foreign_seal", parts=found.foreign)
    marks = marks_of(body) if stored else frozenset()
    shared = [(len(marks & marks_of(one.body)), one) for one in stored] if marks else []
    most, nearest = max(shared, key=lambda pair: pair[0], default=(0, None))
    if most:
        return Looked("resaved", nearest)
    if _was_sealed(body[-TAIL:], certificates):
        return Looked("changed", parts=("It carries this firm's seal, which does not hold any more.",))
    return Looked("unknown" if found.readable else "damaged")


def _known(certificates: Sequence[bytes]) -> frozenset[str]:
    return frozenset(map(fingerprint, certificates))


def _was_sealed(tail: bytes, certificates: Sequence[bytes]) -> bool:
    """Whether a seal of this firm's once stood here: its certificate, of which a half may have been hit."""
    halves = [half for one in certificates for half in (one[: len(one) // 2], one[len(one) // 2 :])]
    low = tail.lower()
    return any(half.hex().encode() in low for half in halves)
