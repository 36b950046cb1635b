"""The signing library's own classes, with nothing left to chance and no clock."""

from __future__ import annotations

import io
from datetime import datetime
from typing import Any

from cryptography.hazmat.primitives import hashes
from cryptography.hazmat.primitives.asymmetric import ec
from cryptography.hazmat.primitives.serialization import load_der_private_key
from pyhanko.pdf_utils import generic
from pyhanko.pdf_utils.incremental_writer import IncrementalPdfFileWriter
from pyhanko.pdf_utils.metadata.model import DocumentMetadata
from pyhanko.sign import signers

from .twins import lower


class Signer(signers.SimpleSigner):
    """Signs the same with the same signature: RFC 6979 works the hidden number out of key and message.

    Of the two signatures that then fit it writes the lower one (twins.py).
    """

    def sign_raw(self, data: bytes, digest_algorithm: str) -> bytes:
        """Return the signature of these bytes, DER. Raises ValueError for another digest or curve."""
        private = load_der_private_key(self.signing_key.dump(), None)
        if digest_algorithm != "sha256" or not isinstance(private, ec.EllipticCurvePrivateKey):
            raise ValueError("a key of P-256 signs SHA-256 here, and nothing else")
        return lower(private.sign(data, ec.ECDSA(hashes.SHA256(), deterministic_signing=True)))


class PdfSigner(signers.PdfSigner):
    """Signs as of a moment that it is given."""

    def __init__(self, wanted: signers.PdfSignatureMetadata, signer: Signer, moment: datetime):
        super().__init__(wanted, signer=signer)
        self._moment = moment

    def init_signing_session(self, *given: Any, **named: Any) -> Any:
        """Begin, with the moment in place of the clock."""
        session = super().init_signing_session(*given, **named)
        session.system_time = self._moment
        return session


class _Dated(DocumentMetadata):  # type: ignore[misc]
    """A document's data whose day of change is the moment it is given, whatever the writer says of now."""

    moment: datetime | None = None

    def __setattr__(self, name: str, value: Any) -> None:
        super().__setattr__(name, self.moment if name == "last_modified" and self.moment else value)


def writer_of(paper: bytes, named: bytes, moment: datetime) -> IncrementalPdfFileWriter:
    """Return what writes after a paper, as of a moment.

    named  16 bytes, the second half of the file's identifier
    """
    writer = IncrementalPdfFileWriter(io.BytesIO(paper), strict=True)
    writer._document_id[1] = generic.ByteStringObject(named)
    dated = _Dated(**vars(writer._meta))
    dated.moment = moment
    writer._meta = dated
    return writer
