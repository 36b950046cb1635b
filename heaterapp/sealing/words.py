"""What a look at a file comes to, in sentences."""

from __future__ import annotations

from .looking import Looked

KINDS = {
    "stored": "The paper as it is stored, byte for byte.",
    "sealed": "The paper as it is stored, with this firm's seal after it, untouched.",
    "sealed_twin": "The paper as it is stored, with this firm's seal after it. The seal holds, so all that it"
    " covers is whole. It is written in one of the two forms that this program's first seals had, and anybody"
    " can turn the one into the other: that changes the seal's own number, and nothing else.",
    "sealed_unknown": "It carries this firm's seal, which holds, but is none of the papers that it was"
    " compared with.",
    "resaved": "Another program saved this paper again: it may say the same, but its bytes are not those that"
    " were issued, and nothing shows that nothing was changed.",
    "sealed_retired": "It carries the seal of a key that this firm has retired. The seal holds, but the file"
    " is none of the papers that it was compared with: whoever had that key may have sealed it.",
    "translation": "It calls itself a translation or a copy of this paper, made on request. Those are made"
    " when they are asked for and not kept, so there is nothing to compare it with: what counts is the"
    " English paper on record, which the contractor's archive has and the check page compares.",
    "redacted": "It calls itself a copy of this paper, made on request, with personal data left out. Such"
    " copies are not kept, so there is nothing to compare it with byte for byte: what counts is the paper on"
    " record, which the contractor's archive has and the check page compares.",
    "added_after_seal": "Something was added after it was sealed. The paper before that is as it was sealed;"
    " what is shown on screen may not be.",
    "added": "It begins with the paper as it is stored, byte for byte, and something was added after it that"
    " is no seal of this firm's. What is shown on screen may differ.",
    "changed": "It was changed: bytes of the paper are not those that were issued.",
    "broken_seal": "It was changed: the paper at its beginning is as stored, but the seal after it was"
    " changed or cut short and does not hold.",
    "cut_short": "It was cut short: it is only the beginning of the paper.",
    "foreign_seal": "It is sealed by a key that is none of those that this firm trusts.",
    "unknown": "It is not one of the papers it was compared with, nor made from one. A print or a scan is"
    " another file than the paper too.",
    "no_pdf": "It is not a PDF file.",
    "too_large": "It is too large to be a paper of this program.",
    "damaged": "It is damaged: it calls itself a PDF, but cannot be read as one.",
}
MEANS = (
    "The seal shows that this file is as the contractor's archive handed it out, as long as nobody else had"
    " its key. It says nothing about the installation, and it is not a notary's or a government's signature."
)


def said_of(looked: Looked) -> list[str]:
    """Return what a look came to: the sentence of its kind first, then what else is known.

    The fingerprint stands in groups of four, as it can be read out.
    """
    said = [KINDS[looked.kind]]
    if looked.paper is not None:
        said.append(f"Paper {looked.paper.number}, file {looked.paper.name}, SHA-256 {looked.paper.sha256}.")
    if looked.fingerprint:
        said.append(f"Sealed by the key {grouped(looked.fingerprint)}.")
    if looked.retired_on:
        said.append(f"That key was retired on {looked.retired_on}. What it seals is not handed out any more.")
    said += looked.parts
    if looked.kind in ("sealed", "sealed_twin"):
        said.append(MEANS)
    return said


def grouped(fingerprint: str) -> str:
    """Return a fingerprint in groups of four.

    >>> grouped("0123456789abcdef")
    '0123 4567 89ab cdef'
    """
    return " ".join(fingerprint[at : at + 4] for at in range(0, len(fingerprint), 4))
