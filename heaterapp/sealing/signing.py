"""Putting the seal on: the paper stays an exact prefix, and the seal is the one thing after it."""

from __future__ import annotations

import io

from .keys import Key
from .quiet import alone, unheard

FIELD = "Seal"


class NotSealed(RuntimeError):
    """The seal could not be put on; the text says why, and nothing of the key."""


def seal(paper: bytes, key: Key) -> bytes:
    """Return the paper with a seal after it: invisible, certified as unchangeable.

    paper   a PDF that has no signature; what is returned begins with exactly these bytes
    returns another file at every call: a signature is not repeatable
    raises  NotSealed for what is no readable PDF, or a key that does not belong to its certificate
    source  ISO 32000-1 12.8.2.2 (DocMDP, P = 1); ETSI EN 319 142-1
    """
    from asn1crypto import keys, x509
    from pyhanko.pdf_utils.incremental_writer import IncrementalPdfFileWriter
    from pyhanko.sign import fields, signers
    from pyhanko_certvalidator.registry import SimpleCertificateStore

    try:
        with unheard():
            signer = signers.SimpleSigner(
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
            writer = IncrementalPdfFileWriter(io.BytesIO(paper), strict=True)
            pdf_signer = signers.PdfSigner(wanted, signer=signer)
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
