"""Keys: made here, each with a certificate that it signs itself."""

from __future__ import annotations

import hashlib
from dataclasses import dataclass
from datetime import UTC, datetime
from functools import lru_cache

LONGEST_NAME = 64
"""Bytes of a common name: RFC 5280, appendix A, counts characters, and the library counts bytes."""
NEVER = datetime(9999, 12, 31, 23, 59, 59, tzinfo=UTC)
"""RFC 5280 4.1.2.5 writes a certificate that does not run out so: papers are kept for longer than keys."""

COORDINATE, TRACE = 32, 8
"""Bytes of each of the two numbers of a public key, and how many of them tell a key from any other."""


@dataclass(frozen=True)
class Key:
    """A certificate and its private key, both DER; the key as PKCS #8, not encrypted."""

    certificate: bytes
    private: bytes

    @property
    def fingerprint(self) -> str:
        return fingerprint(self.certificate)

    def __repr__(self) -> str:
        # Tracebacks and logs print arguments.
        return f"Key({self.fingerprint[:16]})"


@dataclass(frozen=True)
class Known:
    """A key of the firm's, by its certificate; ISO dates, empty where it stands."""

    certificate: bytes
    retired_on: str = ""
    """Since when another key is in its place: whoever still has it seals without the firm."""
    distrusted_on: str = ""
    """Since when the firm says that it vouches for nothing: its seals count as a stranger's."""

    @property
    def fingerprint(self) -> str:
        return fingerprint(self.certificate)

    @property
    def traces(self) -> tuple[str, ...]:
        return traces(self.certificate)


def fingerprint(certificate: bytes) -> str:
    """Return the SHA-256 of a certificate's DER, 64 hex digits, as readers of PDF show it too."""
    return hashlib.sha256(certificate).hexdigest()


def new_key(firm: str, at: datetime) -> Key:
    """Make a key on the curve P-256 and its certificate.

    firm    the name that readers show as the signer, at least a character; its first 64 bytes
    at      from when on, with its time zone
    returns the key; another one at every call
    raises  ValueError for an empty name
    source  RFC 5280 for the certificate, RFC 5480 for the curve
    """
    from cryptography import x509
    from cryptography.hazmat.primitives import hashes
    from cryptography.hazmat.primitives.asymmetric import ec
    from cryptography.hazmat.primitives.serialization import Encoding, NoEncryption, PrivateFormat

    name = firm.strip().encode()[:LONGEST_NAME].decode(errors="ignore").strip()
    if not name:
        raise ValueError("a seal carries the firm's name, and there is none yet")
    private = ec.generate_private_key(ec.SECP256R1())
    subject = x509.Name([x509.NameAttribute(x509.NameOID.COMMON_NAME, name)])
    usage = x509.KeyUsage(
        digital_signature=True, content_commitment=True, key_encipherment=False, data_encipherment=False,
        key_agreement=False, key_cert_sign=False, crl_sign=False, encipher_only=False, decipher_only=False,
    )  # fmt: skip
    made = (
        x509.CertificateBuilder(subject, subject, private.public_key(), x509.random_serial_number())
        .not_valid_before(at.astimezone(UTC).replace(microsecond=0))
        .not_valid_after(NEVER)
        .add_extension(x509.BasicConstraints(ca=False, path_length=None), critical=True)
        .add_extension(usage, critical=True)
        .sign(private, hashes.SHA256())
    )
    return Key(
        made.public_bytes(Encoding.DER),
        private.private_bytes(Encoding.DER, PrivateFormat.PKCS8, NoEncryption()),
    )


@lru_cache(maxsize=256)
def traces(certificate: bytes) -> tuple[str, ...]:
    """Return two pieces of a key, in hex, by which a seal is known as once this key's though it was hit.

    They are of the public numbers alone, and tell nothing of whose key it is; none of what is no certificate.
    """
    from cryptography import x509
    from cryptography.hazmat.primitives.asymmetric import ec

    try:
        key = x509.load_der_x509_certificate(certificate).public_key()
    except ValueError:
        return ()
    if not isinstance(key, ec.EllipticCurvePublicKey) or not isinstance(key.curve, ec.SECP256R1):
        return ()
    numbers = key.public_numbers()
    return tuple(one.to_bytes(COORDINATE, "big")[:TRACE].hex() for one in (numbers.x, numbers.y))
