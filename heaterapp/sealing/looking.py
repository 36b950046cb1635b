"""What a file is, beside the papers as they are stored and the keys that its firm has had.

`static/compared.js` tells the same kinds by the same rules, from no more than a paper's whole hash, size and
identifier. Here the bytes are there, so that a file that lost its identifier is known as well, and where it
differs is told in `parts`.
"""

from __future__ import annotations

import hashlib
from collections.abc import Sequence
from dataclasses import dataclass
from functools import cached_property

from .contents import Own, is_signed, own_seal, tail, was_sealed
from .keys import Known
from .likeness import LIKE, difference, likeness
from .origin import Origin, named, origin
from .reading import has_end, read

LARGEST = 50_100_000
"""Bytes: the largest paper that the archive keeps, and a seal."""
SOUND = ("stored", "sealed", "sealed_twin")
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
    def named(self) -> tuple[str, str]:
        """The two pieces of its identifier, in hex."""
        return named(self.body)

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
    number       what its own title calls it, where that is all that tells; anybody can write that
    """

    kind: str
    paper: Stored | None = None
    fingerprint: str = ""
    retired_on: str = ""
    parts: tuple[str, ...] = ()
    number: str = ""

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
    return _apart(body, keys, stored)


def _with_more(body: bytes, paper: Stored, keys: Sequence[Known]) -> Looked:
    """The paper is whole at the file's beginning: what follows is its seal, or something else."""
    start = len(paper.body)
    own = own_seal(body, _trusted(keys), start)
    if own is not None:
        return _own(body, own, paper, keys)
    more, held = f"{len(body) - start:,} bytes follow the paper.", tail(body, start)
    if was_sealed(held, _trusted(keys)):
        return Looked("broken_seal", paper, parts=(more,))
    found = read(body, None, _fingerprints(keys))
    if is_signed(held):
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
    kind = "sealed_retired" if retired_on else "sealed_unknown"
    return Looked(kind, None, own.fingerprint, retired_on, number=origin(body).number)


def _apart(body: bytes, keys: Sequence[Known], stored: Sequence[Stored]) -> Looked:
    """It does not begin with a stored paper: its seal tells, what names it, what it calls itself."""
    says = origin(body)
    hit = _hit(body, says, stored)
    if hit is None and b"%PDF-" not in body[:HEADER_WITHIN]:
        return Looked("no_pdf")
    own = own_seal(body, _trusted(keys))
    if own is not None:
        return _own(body, own, None, keys)
    ours = was_sealed(tail(body), _trusted(keys))
    if is_signed(tail(body)) and not ours:
        found = read(body, None, _fingerprints(keys))
        more = (*found.foreign, *_once_ours(found.foreign, keys))
        return Looked("foreign_seal", parts=more, number=says.number)
    for one in stored:
        if one.redacted.hex() in says.identifiers:
            return Looked("redacted", one)
        if says.identifiers & {name.hex() for name in one.copies}:
            return Looked("translation", one)
    if hit is not None:
        return hit
    for one in stored:
        if one.named[0] in says.identifiers:
            return Looked("resaved", one)
    if ours:
        return Looked("changed", parts=("It carries this firm's seal, which does not hold any more.",))
    told = _called(says.number, stored) if has_end(body) else "damaged"
    return Looked(told, number=says.number)


def _hit(body: bytes, says: Origin, stored: Sequence[Stored]) -> Looked | None:
    """Other bytes under a stored paper's own identifier, or, where that was hit too, most of its bytes."""
    paper = next((one for one in stored if one.named in says.named), None)
    if paper is None:
        pairs = [(likeness(body, one.body), one) for one in stored if one.body]
        most, paper = max(pairs, key=lambda pair: pair[0], default=(0.0, None))
        if most < LIKE:
            return None
    if paper.body.startswith(body):
        there = f"Only {len(body):,} of {len(paper.body):,} bytes are there; they are as they were issued."
        return Looked("shorter", paper, parts=(there,))
    return Looked("changed", paper, parts=(difference(body, paper.body),))


def _called(number: str, stored: Sequence[Stored]) -> str:
    """What a file calls itself is told only where nothing else can be told of it."""
    if not number or not stored:
        return "unknown"
    return "lookalike" if number in {one.number for one in stored} else "another"


def _trusted(keys: Sequence[Known]) -> list[bytes]:
    return [one.certificate for one in keys if not one.distrusted_on]


def _fingerprints(keys: Sequence[Known]) -> frozenset[str]:
    return frozenset(one.fingerprint for one in keys if not one.distrusted_on)


def _once_ours(foreign: Sequence[str], keys: Sequence[Known]) -> tuple[str, ...]:
    """Sentences on keys that were the firm's own and are not trusted any more."""
    gone = [one for one in keys if one.distrusted_on and any(one.fingerprint in said for said in foreign)]
    return tuple(NOT_TRUSTED.format(key=one.fingerprint, day=one.distrusted_on) for one in gone)
