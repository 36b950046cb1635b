"""The signing library's own view of a file: its signatures, and what was added after a seal."""

from __future__ import annotations

import io
from collections.abc import Collection
from dataclasses import dataclass
from typing import Any

from .contents import Own
from .quiet import alone, unheard

MOST_SIGNATURES, MOST_OBJECTS = 5, 500
END_WITHIN = 1024
"""Bytes before the end that hold its mark, by ISO 32000-1, annex H: else a reader would seek through all."""
LIKE_NOTHING = "Something was added."
NAMELESS = "A signature that names no key."


@dataclass(frozen=True)
class Read:
    """What a reader makes of a file.

    readable  whether it could be opened at all
    whole     whether it has one signature, by the known key, over the entire file, with nothing after it
    foreign   a sentence for each signature by a key that is none of the known ones
    added     sentences on what was added after the seal, or without one
    heard     what the library would have written into its log
    """

    readable: bool = False
    whole: bool = False
    foreign: tuple[str, ...] = ()
    added: tuple[str, ...] = ()
    heard: tuple[str, ...] = ()


def has_end(body: bytes) -> bool:
    """Whether a file ends as a PDF does."""
    end = body[-END_WITHIN:]
    return b"startxref" in end and b"%%EOF" in end


def read(body: bytes, own: Own | None, known: Collection[str] = ()) -> Read:
    """Read a file from anywhere.

    own    the seal that was found to hold in it
    known  the fingerprints of all keys that the firm has or had
    """
    from pyhanko.pdf_utils.reader import PdfFileReader

    if not has_end(body):
        return Read()
    alone = own is not None and own.end == len(body)
    with unheard() as heard:
        try:
            reader = PdfFileReader(io.BytesIO(body), strict=True)
            signatures = reader.embedded_signatures[:MOST_SIGNATURES]
            whole = alone and len(signatures) == 1 and _is_whole(signatures[0], own)
            keys = [_fingerprint(one) for one in signatures]
            foreign = tuple(f"A signature by the key {key}." for key in keys if key and key not in known)
            added = (*_added(reader, signatures, own), *(NAMELESS for key in keys if not key))
        except Exception as failed:
            # A hostile file may break a reader in any way: then it is not a file that can be relied on.
            return Read(added=(), heard=(*heard, type(failed).__name__))
        return Read(True, whole, foreign, added, tuple(heard))


def _is_of(signature: Any, own: Own | None) -> bool:
    return own is not None and _fingerprint(signature) == own.fingerprint


def _fingerprint(signature: Any) -> str:
    try:
        return str(signature.signer_cert.sha256.hex())
    except Exception:
        return ""


def _is_whole(signature: Any, own: Own | None) -> bool:
    from pyhanko.sign.validation import validate_pdf_signature
    from pyhanko.sign.validation.status import SignatureCoverageLevel
    from pyhanko_certvalidator import ValidationContext

    if not _is_of(signature, own):
        return False
    trusted = ValidationContext(trust_roots=[signature.signer_cert], allow_fetching=False)
    status = alone(lambda: validate_pdf_signature(signature, signer_validation_context=trusted))
    # `intact` alone is also true of a file to which something was added.
    return bool(status.bottom_line) and status.coverage == SignatureCoverageLevel.ENTIRE_FILE


PAGE_ANEW = "A page was written anew."


def _added(reader: Any, signatures: list[Any], own: Own | None) -> tuple[str, ...]:
    """Name what the revisions hold that came after the seal; without a seal, after the first one."""
    sealed = [one.signed_revision for one in signatures if _is_of(one, own)]
    first = (min(sealed) if sealed else 0) + 1
    found: dict[str, None] = {}
    for revision in range(first, reader.xrefs.total_revisions):
        for at, reference in enumerate(reader.xrefs.explicit_refs_in_revision(revision)):
            if at > MOST_OBJECTS:
                break
            said = _kind(reader, reference, revision)
            new = said == PAGE_ANEW and _is_new(reader, reference, revision)
            found["A page was added." if new else said] = None
    return tuple(sorted(found))


def _is_new(reader: Any, reference: Any, revision: int) -> bool:
    """Say whether an object had no place in any revision before."""
    return reader.xrefs.get_historical_ref(reference, revision - 1) is None


def _kind(reader: Any, reference: Any, revision: int) -> str:
    from pyhanko.pdf_utils.generic import DictionaryObject

    held = reader.get_object(reference, revision=revision, never_decrypt=True)
    if not isinstance(held, DictionaryObject):
        return LIKE_NOTHING
    if held.get("/FT") == "/Sig" or held.get("/Type") in ("/Sig", "/DocTimeStamp"):
        return "Another signature was added."
    kinds = {
        "/Catalog": "The catalog, the root of the file, was written anew.",
        "/Page": PAGE_ANEW,
        "/Pages": "The list of pages was written anew.",
        "/EmbeddedFile": "A file was attached.",
        "/Filespec": "A file was attached.",
        "/Annot": "A note or mark was put on a page.",
        "/Font": "Lettering was changed.",
        "/Metadata": "The description of the file was written anew.",
    }
    return kinds.get(str(held.get("/Type")), _untyped(held))


def _untyped(held: Any) -> str:
    if held.get("/Subtype") in ("/Image", "/Form"):
        return "A picture or drawing was written anew."
    return "A stream of content was written anew." if hasattr(held, "encoded_data") else LIKE_NOTHING
