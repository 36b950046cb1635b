"""What a look at a file comes to, in sentences, on the check page too: what it is, and what to do next."""

# ruff: noqa: E501 - a sentence that people read stands on one line
from __future__ import annotations

from .looking import Looked

_AGAIN = "Do not rely on it: ask the contractor for the file again."
_STANDS = "Whether it still counts depends on how its number stands: current, replaced or void."
_SHOWN = "A reader may show what was added in place of the paper. Do not rely on it: ask the contractor for the file again."
_BROKEN_OFF = "Do not rely on it: it was changed, or the download broke off. Get the file again."

KINDS = {
    "stored": "This is the paper as it was issued, byte for byte.",
    "sealed": "This is the paper as it was issued, with the contractor's seal after it, untouched.",
    "sealed_twin": "This is the paper as it was issued, with the contractor's seal after it, which holds.",
    "sealed_unknown": "This file carries the contractor's seal, which holds, but it is none of the papers it was compared with.",
    "sealed_retired": "This file carries the seal of a key that the contractor has retired, and it is none of the papers it was compared with.",
    "resaved": "This is the paper saved again by another program, by the identifier in it: its bytes are not those that were issued.",
    "translation": "This file calls itself a translation or a copy of the paper, made on request.",
    "redacted": "This file calls itself a copy of the paper with personal data left out, made on request.",
    "added_after_seal": "Something was added to this file after the contractor sealed it.",
    "added": "This file begins with the paper as it was issued, and something was added after it.",
    "changed": "This file was changed: it has bytes that are not those of the paper as it was issued.",
    "broken_seal": "The contractor's seal in this file was changed or cut short, and does not hold.",
    "shorter": "This file was changed or broken off: it has fewer bytes than the paper as it was issued.",
    "foreign_seal": "This file carries a seal or signature that is not this contractor's.",
    "another": "This is another paper, by the number in its own title.",
    "lookalike": "This file has the paper's number in its title, but nothing else shows that it was made from it.",
    "unknown": "This file is none of the papers it was compared with, and nothing in it says that it was made from one.",
    "no_pdf": "This file is not a PDF.",
    "too_large": "This file is too large to be a paper of this program.",
    "damaged": "This file calls itself a PDF, but its end is missing or damaged.",
}
NEXT = {
    "stored": _STANDS,
    "sealed": _STANDS,
    "sealed_twin": "It is a seal of this program's first form, whose own number anybody can write in two ways; all that it covers is whole. " + _STANDS,
    "sealed_unknown": "It may be another paper of this contractor's: check the number and the code printed on it.",
    "sealed_retired": "Whoever had that key may have sealed it. Do not rely on it: ask the contractor.",
    "resaved": "It may say the same, but nothing shows that nothing was changed. Use the file as it came by link or mail, or ask the contractor for it.",
    "translation": "Such files are not kept, so there is nothing to compare it with. What counts is the English paper as it was issued: compare that one, or ask the contractor for it.",
    "redacted": "Such copies are not kept, so it cannot be compared byte for byte. What counts is the paper as it was issued: ask the contractor whether the copy says the same.",
    "added_after_seal": _SHOWN,
    "added": _SHOWN,
    "changed": _AGAIN,
    "broken_seal": _AGAIN,
    "shorter": _BROKEN_OFF,
    "foreign_seal": "Somebody else signed it, and it may show something else than the paper. Compare the file as the contractor gave it.",
    "another": "Check that number, with the code printed beside it.",
    "lookalike": "It may be a new print to a file, or made up. Do not rely on it: ask the contractor for the file.",
    "unknown": "A print or a scan is another file than the paper too. Compare the PDF as it came by link or mail.",
    "no_pdf": "Choose the PDF as it came by link or mail. A photo or a scan of the paper cannot be compared.",
    "too_large": "Choose the PDF as it came by link or mail.",
    "damaged": _BROKEN_OFF,
}
CALLS = "Number in its own title, which anybody can write: {number}."
MEANS = "The seal shows that this file is as the contractor's archive handed it out, as long as nobody else had its key. It says nothing about the installation, and it is not a notary's or a government's signature."


def said_of(looked: Looked) -> list[str]:
    """Return what a look came to: what the file is, what to do next, then what else is known.

    The fingerprint stands in groups of four, as it can be read out.
    """
    said = [KINDS[looked.kind], NEXT[looked.kind]]
    if looked.number:
        said.append(CALLS.format(number=looked.number))
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
