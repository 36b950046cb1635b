"""Putting the seal on: the paper stays an exact prefix, and the seal is the one thing after it.

The signing library draws three things by chance or off the clock: the number that every signature hides,
the second half of the file's identifier, and the time. Here all three follow from paper, key and moment
(repeatable.py), so that a mail that is tried again carries the same file.
"""

from __future__ import annotations

import hashlib
import io
from datetime import UTC, datetime

from .keys import Key
from .quiet import alone, unheard

FIELD = "Seal"


class NotSealed(RuntimeError):
    """The seal could not be put on; the text says why, and nothing of the key."""


def seal(paper: bytes, key: Key, at: datetime | None = None) -> bytes:
    """Return the paper with a seal after it: invisible, certified as unchangeable.

    paper   a PDF that has no signature; what is returned begins with exactly these bytes
    at      the time that the seal carries, with its zone, to the second; now where none is given
    returns the same file for the same paper, key and time
    raises  NotSealed for what is no readable PDF, or a key that does not belong to its certificate
    source  ISO 32000-1 12.8.2.2 (DocMDP, P = 1); ETSI EN 319 142-1; RFC 6979 for the signature
    """
    from asn1crypto import keys, x509
    from pyhanko.sign import fields, signers
    from pyhanko_certvalidator.registry import SimpleCertificateStore

    from .repeatable import PdfSigner, Signer, writer_of

    moment = (at or datetime.now(UTC)).astimezone(UTC).replace(microsecond=0)
    try:
        with unheard():
            signer = Signer(
                signing_cert=x509.Certificate.load(key.certificate, strict=True),
                signing_key=keys.PrivateKeyInfo.load(key.private, strict=True),
                cert_registry=SimpleCertificateStore(),
            )
            wanted = signers.PdfSignatureMetadata(
                field_name=FIELD,
                md_algorithm="sha256",
                subfilter=fields.SigSeedSubFilter.PADES,
                certify=True,
                docmdp_permissions=fields.MDPPerm.NO_CHANGES,
            )
            named = hashlib.sha256(b"".join((paper, key.certificate, moment.isoformat().encode()))).digest()
            writer = writer_of(paper, named[:16], moment)
            pdf_signer = PdfSigner(wanted, signer, moment)
            made = alone(lambda: pdf_signer.sign_pdf(writer, output=io.BytesIO()))
        sealed = bytes(made.getbuffer())
    except Exception as failed:
        raise NotSealed(f"{type(failed).__name__}: {failed}"[:300]) from failed
    # A key of another certificate signs without complaint; nobody could ever verify it.
    from .contents import own_seal

    own = own_seal(sealed, [key.certificate], len(paper))
    if not sealed.startswith(paper) or own is None or own.end != len(sealed):
        raise NotSealed("what was made does not hold by its own certificate")
    return sealed
