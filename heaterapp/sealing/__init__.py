"""The seal of a paper that is handed out: a signature of the file by its firm's own key, and the look at it.

    new_key(firm, at) -> Key                       a key with its own certificate, made here
    seal(paper, key) -> bytes                      the paper, byte for byte, and the seal after it
    look(body, known, stored) -> Looked            what a file is, beside the papers as they are stored
    said_of(looked) -> list[str]                   the same in sentences
    number_in(body) -> str                         the number in a file's title
    named(body) -> tuple[str, str]                 the two pieces of a paper's identifier
    fingerprint(certificate) -> str                by which a key is named: SHA-256 of its certificate
    traces(certificate) -> tuple[str, ...]         by which its seal is known when it does not hold any more

Pure: no database, no network, no clock of its own but the time that a seal carries. The key is elliptic
(P-256), the form PAdES (ETSI EN 319 142-1) on ISO 32000-1 12.8, certified as a last word: no change after
it is allowed. No authority stands behind the certificate and no time stamp: a seal shows that a file is as
the holder of the key made it, and `look` tells whose key that is.
"""

from __future__ import annotations

from .keys import Key, Known, fingerprint, new_key, traces
from .looking import LARGEST, Looked, Stored, look
from .origin import named, number_in
from .signing import NotSealed, seal
from .words import CALLS, KINDS, MEANS, NEXT, grouped, said_of

__all__ = [
    "CALLS", "KINDS", "LARGEST", "MEANS", "NEXT", "Key", "Known", "Looked", "NotSealed", "Stored",
    "fingerprint", "grouped", "look", "named", "new_key", "number_in", "said_of", "seal", "traces",
]  # fmt: skip
