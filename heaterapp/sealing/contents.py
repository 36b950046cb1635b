"""A seal read to the byte: whether it is one of a known key's, and how far into the file it holds.

What a signature covers is everything but its own container. So that no byte of that goes unwatched, the
container must be exactly what our own signing writes around the signed attributes and the signature: one
certificate, no unsigned attributes, hex in capitals, nothing but zeros behind it. `static/seal.js` reads the
same, for the browser.
"""

from __future__ import annotations

import hashlib
import re
from collections.abc import Sequence
from typing import Any, NamedTuple

from .keys import fingerprint, traces
from .twins import is_written_so, lower

_RANGE = re.compile(rb"/ByteRange \[(\d{1,10}) (\d{1,10}) (\d{1,10}) (\d{1,10})\]")
_HEX = re.compile(rb"<((?:[0-9A-F]{2})+)>")
_SIGNATURE = re.compile(rb"/Contents[\x00\t\n\f\r ]*<30[0-9A-Fa-f]{200}")
MOST_TRIED = 8
TAIL = 1_000_000
"""Bytes in which a seal is looked for: behind the paper, or at the file's end."""
LARGEST_CONTAINER = 40_000
CONTENT_TYPE, DIGEST, CERTIFICATE = (
    "1.2.840.113549.1.9.3",
    "1.2.840.113549.1.9.4",
    "1.2.840.113549.1.9.16.2.47",
)
"""The three signed attributes, in their order: RFC 5652, 11.1 and 11.2, and RFC 5035, 3."""


class Own(NamedTuple):
    """A seal that holds: by which key, and the place in the file where what it vouches for ends.

    lower  whether it is the one of the two signatures that fit which our signing writes now
    """

    fingerprint: str
    end: int
    lower: bool = True


def own_seal(body: bytes, certificates: Sequence[bytes], start: int = 0) -> Own | None:
    """Return the first seal after `start` that a key of these certificates made and that holds, or None."""
    tried = 0
    begins = start or max(0, len(body) - TAIL)
    for found in _RANGE.finditer(body, begins, begins + TAIL):
        tried += 1
        if tried > MOST_TRIED:
            return None
        first, opens, goes_on, rest = (int(one) for one in found.groups())
        end = goes_on + rest
        whole = first == 0 and start <= opens < goes_on <= end <= len(body)
        if not whole or goes_on - opens > LARGEST_CONTAINER:
            continue
        held = _HEX.fullmatch(body, opens, goes_on)
        # The numbers that say what is covered must themselves be covered.
        if held is None or not goes_on <= found.start() < found.end() <= end:
            continue
        covered = hashlib.sha256(body[:opens])
        covered.update(body[goes_on:end])
        raw = bytes.fromhex(held.group(1).decode("ascii"))
        for certificate in certificates:
            signature = _held(raw, certificate, covered.digest()) if certificate in raw else b""
            if signature:
                return Own(fingerprint(certificate), end, lower(signature) == signature)
    return None


def tail(body: bytes, start: int = 0) -> bytes:
    """Return where in a file a seal is looked for: after `start`, or before the end."""
    begins = start or max(0, len(body) - TAIL)
    return body[begins : begins + TAIL]


def was_sealed(held: bytes, certificates: Sequence[bytes]) -> bool:
    """Whether a seal by one of these certificates once stood here, in hex; one half of its key may be hit."""
    low = held.lower()
    return any(trace.encode() in low for one in certificates for trace in traces(one))


def is_signed(held: bytes) -> bool:
    """Whether a signature stands here, of whomever."""
    return b"/ByteRange" in held and _SIGNATURE.search(held) is not None


def _held(raw: bytes, certificate: bytes, digest: bytes) -> bytes:
    """Return the signature of a container that holds, nothing of any other."""
    from asn1crypto import cms, parser
    from cryptography import x509
    from cryptography.exceptions import InvalidSignature
    from cryptography.hazmat.primitives import hashes
    from cryptography.hazmat.primitives.asymmetric import ec

    try:
        length = parser.peek(raw)
        signer = cms.ContentInfo.load(raw[:length], strict=True)["content"]["signer_infos"][0]
        attributes = signer["signed_attrs"].untag()
        said = {one["type"].dotted: one["values"] for one in attributes}
        signature = signer["signature"].native
        right = (
            tuple(said) == (CONTENT_TYPE, DIGEST, CERTIFICATE)
            and len(attributes) == len(said)
            and [one.native for one in said[CONTENT_TYPE]] == ["data"]
            and [one.native for one in said[DIGEST]] == [digest]
            and raw[:length] == as_written(certificate, attributes, signature)
            and not raw[length:].strip(b"\0")
            and is_written_so(signature)
        )
        public = x509.load_der_x509_certificate(certificate).public_key()
        if not right or not isinstance(public, ec.EllipticCurvePublicKey):
            return b""
        public.verify(signature, attributes.dump(), ec.ECDSA(hashes.SHA256()))
    except (InvalidSignature, ValueError, TypeError, KeyError, IndexError, AttributeError):
        return b""
    return bytes(signature)


def as_written(certificate: bytes, attributes: Any, signature: bytes) -> bytes:
    """Return the container that our signing writes around signed attributes and signature (RFC 5652)."""
    from asn1crypto import cms, x509

    own = x509.Certificate.load(certificate)
    sha256 = {"algorithm": "sha256"}
    signer = {
        "version": "v1",
        "sid": cms.SignerIdentifier(
            {"issuer_and_serial_number": {"issuer": own.issuer, "serial_number": own.serial_number}}
        ),
        "digest_algorithm": sha256,
        "signed_attrs": attributes.copy(),
        "signature_algorithm": {"algorithm": "sha256_ecdsa"},
        "signature": signature,
    }
    content = {
        "version": "v1",
        "digest_algorithms": [sha256],
        "encap_content_info": {"content_type": "data"},
        "certificates": [own],
        "signer_infos": [signer],
    }
    return bytes(cms.ContentInfo({"content_type": "signed_data", "content": cms.SignedData(content)}).dump())
