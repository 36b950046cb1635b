"""The two whole numbers of a signature: the one way to write them down, and which of two pairs they are.

To a pair (r, s) that fits belongs another, (r, n - s), that fits as well, and anybody can make it without the
key. Our signing writes the pair with the smaller s, so that of two such files one alone is ours to the byte.
The first seals were written with either. `static/seal.js` reads the same.
"""

from __future__ import annotations

ORDER = 0xFFFFFFFF00000000FFFFFFFFFFFFFFFFBCE6FAADA7179E84F3B9CAC2FC632551
"""n of P-256, by FIPS 186-5 and SP 800-186, 3.2.1.3."""


def lower(signature: bytes) -> bytes:
    """Return the signature with the smaller s of the two that fit, as DER. Raises ValueError."""
    from cryptography.hazmat.primitives.asymmetric.utils import decode_dss_signature, encode_dss_signature

    r, s = decode_dss_signature(signature)
    return encode_dss_signature(r, min(s, ORDER - s))


def is_written_so(signature: bytes) -> bool:
    """Whether a signature is DER, the one way to write its numbers. Raises ValueError for what is none."""
    from cryptography.hazmat.primitives.asymmetric.utils import decode_dss_signature, encode_dss_signature

    return encode_dss_signature(*decode_dss_signature(signature)) == signature
