"""One JSON form, the digests over it, and the printed check code."""

import base64
import hashlib
import hmac
import json
import os
import re
import unicodedata
from decimal import Decimal
from typing import Any

EMPTY_HEAD = "0" * 64
SALT_BYTES = 32
CODE_CHARACTERS = 12
LONGEST_TYPED, LONGEST_PREFIX, LONGEST_SERIAL = 64, 8, 12
_SEPARATOR = re.compile(r"[\W_]+")
_AS_DIGITS, _AS_LETTERS = str.maketrans("OIL", "011"), str.maketrans("018", "OIB")


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

    The alphabet has no 0, 1 and 8, so those are read as O, I and B. Spaces and dashes count for nothing.

    >>> read_code(" aaaa bbbb-0cc1 ")
    'AAAA-BBBB-OCCI'
    """
    text = _SEPARATOR.sub("", _plain_letters(typed)).translate(_AS_LETTERS)
    if len(text) != CODE_CHARACTERS or not set(text) <= set("ABCDEFGHIJKLMNOPQRSTUVWXYZ234567"):
        return None
    return "-".join(text[at : at + 4] for at in range(0, CODE_CHARACTERS, 4))


def read_number(typed: str) -> tuple[str, ...]:
    """Return the printed forms that a typed number of a paper can mean; none where it is no number.

    Where prefix and serial are not set apart, each way to part them is one: a prefix may end in digits. In
    the serial O is read as 0, and I and L as 1.

    >>> read_number(" c\u2013OOO12l "), read_number("c 121")
    (('C-000121',), ('C-000121',))
    >>> read_number("l2000121")
    ('L-2000121', 'L2-000121', 'L20-000121', 'L200-000121', 'L2000-000121', 'L20001-000021', 'L200012-000001')
    """
    prefix, *rest = [one for one in _SEPARATOR.split(_plain_letters(typed)) if one] or [""]
    serial = "".join(rest)
    apart = [(prefix, serial)] if _can_be(prefix, serial) else []
    bare = prefix + serial
    splits = apart or [(bare[:at], bare[at:]) for at in range(1, min(LONGEST_PREFIX, len(bare) - 1) + 1)]
    return tuple(f"{one}-{int(its.translate(_AS_DIGITS)):06d}" for one, its in splits if _can_be(one, its))


def _can_be(prefix: str, serial: str) -> bool:
    known = re.fullmatch(f"[A-Z][A-Z0-9]{{0,{LONGEST_PREFIX - 1}}}", prefix)
    return bool(known and re.fullmatch(f"[0-9OIL]{{1,{LONGEST_SERIAL}}}", serial))


def _plain_letters(typed: str) -> str:
    """Return what was typed in capitals, wide and styled letters as those they stand for."""
    return unicodedata.normalize("NFKC", typed[:LONGEST_TYPED]).upper()
