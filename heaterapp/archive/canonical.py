"""One JSON form, the digests over it, and the printed check code."""

import base64
import hashlib
import hmac
import json
import os
from decimal import Decimal
from typing import Any

EMPTY_HEAD = "0" * 64
SALT_BYTES = 32
CODE_CHARACTERS = 12


def _plain(value: Any) -> str:
    if isinstance(value, Decimal) and value.is_finite():
        return str(value)
    raise TypeError(f"{type(value).__name__} is not JSON")


# One encoder for all: json.dumps makes another for every call.
_encode = json.JSONEncoder(
    sort_keys=True, separators=(",", ":"), ensure_ascii=False, allow_nan=False, default=_plain
).encode


def canonical(value: Any) -> str:
    """Return `value` as JSON with sorted keys and no spaces; a Decimal becomes its text.

    Raises ValueError or TypeError for what JSON cannot hold (not-a-number, lone surrogates).
    """
    text = _encode(value)
    text.encode()
    return text


def sha256(data: bytes | str) -> str:
    return hashlib.sha256(data.encode() if isinstance(data, str) else data).hexdigest()


def new_salt() -> bytes:
    return os.urandom(SALT_BYTES)


def salted(salt: bytes, name: str, body: bytes) -> str:
    """Return HMAC-SHA256 keyed with the salt over name, a zero byte and body, in hex.

    Without the salt nobody can confirm a guess of an erased body from this.
    """
    named = name.encode("utf-8", "surrogateescape")  # a damaged id must still be told from a whole one
    return hmac.new(salt, named + b"\0" + body, hashlib.sha256).hexdigest()


def check_code(content_digest: str) -> str:
    """Return the first 60 bits of the digest in base32 (RFC 4648), in threes of four.

    >>> check_code("00" * 32)
    'AAAA-AAAA-AAAA'
    """
    letters = base64.b32encode(bytes.fromhex(content_digest)).decode()[:CODE_CHARACTERS]
    return "-".join(letters[at : at + 4] for at in range(0, CODE_CHARACTERS, 4))


def read_code(typed: str) -> str | None:
    """Return a typed check code in its printed form, or None when it cannot be one.

    The alphabet has no 0, 1 and 8, so those are read as O, I and B.

    >>> read_code(" aaaa bbbb-0cc1 ")
    'AAAA-BBBB-OCCI'
    """
    letters = [c for c in typed[:64].upper().translate(str.maketrans("018", "OIB")) if c.isalnum()]
    if len(letters) != CODE_CHARACTERS or not set(letters) <= set("ABCDEFGHIJKLMNOPQRSTUVWXYZ234567"):
        return None
    text = "".join(letters)
    return "-".join(text[at : at + 4] for at in range(0, CODE_CHARACTERS, 4))
