"""What a file is, beside the papers as they are stored and the keys that its firm has had."""

from __future__ import annotations

import hashlib
from collections.abc import Sequence
from dataclasses import dataclass
from functools import cached_property

from .contents import Own, own_seal
from .keys import Known
from .likeness import called, is_near, is_translation, marks_of
from .reading import read

LARGEST = 50_100_000
"""Bytes: the largest paper that the archive keeps, and a seal."""
SOUND = ("stored", "sealed", "sealed_twin")
TAIL = 1_000_000
"""Bytes in which a seal is looked for that does not hold: behind the paper, or at the file's end."""
HEADER_WITHIN = 1024
NOT_TRUSTED = "The key {key} was this firm's once: since {day} the firm trusts it no longer."


@dataclass(frozen=True)
class Stored:
    """A paper as the archive has it."""

    number: str
    name: str
    body: bytes
    copies: frozenset[bytes] = frozenset()
    """What names the copies and translations that are made of it when they are asked for."""
    redacted: bytes = b""
    """What names the copies of it with personal data left out; nothing where there are none."""

    @cached_property
    def sha256(self) -> str:
        return hashlib.sha256(self.body).hexdigest()


@dataclass(frozen=True)
class Looked:
    """What a file turned out to be.

    kind         a word of `words.KINDS`
    paper        the stored paper that it is, begins with or was made of; None where none can be told
    fingerprint  the key whose seal holds in it, one of this firm's own; nothing without
    retired_on   since when that key is retired, an ISO date; nothing while it is in use
    parts        what else is known: where bytes differ, what was added
    """

    kind: str
    paper: Stored | None = None
    fingerprint: str = ""
    retired_on: str = ""
    parts: tuple[str, ...] = ()

    @property
    def sound(self) -> bool:
        """Whether it is the paper as this firm's archive gave it out, and nothing else."""
        return self.kind in SOUND


def look(body: bytes, known: Sequence[bytes | Known], stored: Sequence[Stored]) -> Looked:
    """Say what a file is. Never raises for what stands in the file.

    body    the file, whole
    known   every key that the firm has or had; DER of a certificate stands for one in use
    stored  the papers it may be, as they are stored
    """
    keys = [one if isinstance(one, Known) else Known(one) for one in known]
    if not body:
        return Looked("no_pdf", parts=("It is empty: 0 bytes.",))
    if len(body) > LARGEST:
        return Looked("too_large", parts=(f"It has {len(body):,} bytes, and no paper has over {LARGEST:,}.",))
    for one in stored:
        if body == one.body:
            return Looked("stored", one)
    for one in sorted(stored, key=lambda one: len(one.body), reverse=True):
        if one.body and body.startswith(one.body):
            return _with_more(body, one, keys)
    for one in stored:
        if len(body) < len(one.body) and one.body.startswith(body):
            return Looked("cut_short", one, parts=(f"{len(body):,} of {len(one.body):,} bytes are there.",))
    for one in stored:
        differing = is_near(body, one.body)
        if differing:
            return Looked("changed", one, parts=(differing,))
    if b"%PDF-" not in body[:HEADER_WITHIN]:
        return Looked("no_pdf")
    return _apart(body, keys, stored)


def _with_more(body: bytes, paper: Stored, keys: Sequence[Known]) -> Looked:
    """The paper is whole at the file's beginning: what follows is its seal, or something else."""
    start = len(paper.body)
    own = own_seal(body, _trusted(keys), start)
    if own is not None:
        return _own(body, own, paper, keys)
    more = f"{len(body) - start:,} bytes follow the paper."
    if _was_sealed(body[start : start + TAIL], _trusted(keys)):
        return Looked("broken_seal", paper, parts=(more,))
    found = read(body, None, _fingerprints(keys))
    if found.foreign:
        return Looked("foreign_seal", paper, parts=(*found.foreign, *_once_ours(found.foreign, keys)))
    return Looked("added", paper, parts=(more, *found.added))


def _own(body: bytes, own: Own, paper: Stored | None, keys: Sequence[Known]) -> Looked:
    found = read(body, own)
    retired_on = next(one.retired_on for one in keys if one.fingerprint == own.fingerprint)
    if own.end < len(body):
        return Looked("added_after_seal", paper, own.fingerprint, retired_on, found.added)
    # Two readers that know nothing of each other must agree before a seal is called whole.
    if not found.whole:
        return Looked("broken_seal", paper, parts=found.heard)
    if paper:
        return Looked("sealed" if own.lower else "sealed_twin", paper, own.fingerprint, retired_on)
    # With no stored paper behind it the seal alone speaks, and a retired key's may be anybody's.
    return Looked("sealed_retired" if retired_on else "sealed_unknown", None, own.fingerprint, retired_on)


def _apart(body: bytes, keys: Sequence[Known], stored: Sequence[Stored]) -> Looked:
    """It begins like none of the stored papers."""
    own = own_seal(body, _trusted(keys))
    if own is not None:
        return _own(body, own, None, keys)
    found = read(body, None, _fingerprints(keys))
    if found.foreign:
        return Looked("foreign_seal", parts=(*found.foreign, *_once_ours(found.foreign, keys)))
    named = called(body).identifier
    for one in stored:
        if named and named == one.redacted:
            return Looked("redacted", one)
    marks = marks_of(body) if stored else frozenset()
    shared = [(len(marks & marks_of(one.body)), one) for one in stored] if marks else []
    most, nearest = max(shared, key=lambda pair: pair[0], default=(0, None))
    if most and nearest is not None:
        translated = is_translation(
            body, nearest.number, [one.body for one in stored], nearest.copies
        )
        return Looked("translation" if translated else "resaved", nearest)
    if _was_sealed(body[-TAIL:], _trusted(keys)):
        return Looked("changed", parts=("It carries this firm's seal, which does not hold any more.",))
    return Looked("unknown" if found.readable else "damaged")


def _trusted(keys: Sequence[Known]) -> list[bytes]:
    return [one.certificate for one in keys if not one.distrusted_on]


def _fingerprints(keys: Sequence[Known]) -> frozenset[str]:
    return frozenset(one.fingerprint for one in keys if not one.distrusted_on)


def _once_ours(foreign: Sequence[str], keys: Sequence[Known]) -> tuple[str, ...]:
    """Sentences on keys that were the firm's own and are not trusted any more."""
    gone = [one for one in keys if one.distrusted_on and any(one.fingerprint in said for said in foreign)]
    return tuple(NOT_TRUSTED.format(key=one.fingerprint, day=one.distrusted_on) for one in gone)


def _was_sealed(tail: bytes, certificates: Sequence[bytes]) -> bool:
    """Whether a seal of this firm's once stood here: its certificate, of which a half may have been hit."""
    halves = [half for one in certificates for half in (one[: len(one) // 2], one[len(one) // 2 :])]
    low = tail.lower()
    return any(half.hex().encode() in low for half in halves)
