"""The ruleset that judged a record, kept once under its digest and never changed."""

import hashlib
import io
import lzma
import struct
import zipfile
import zlib

from sqlalchemy import Connection, insert, select

from heaterapp.archive import checking, log, tables
from heaterapp.archive.canonical import sha256
from heaterapp.archive.errors import RulesetConflict
from heaterapp.archive.shapes import Submission

LARGEST = 50_000_000
WITHIN = "heaterapp/rules/"
BESIDE = "heaterapp/__init__.py"
UNREADABLE_ZIP = (
    zipfile.BadZipFile,  # no zip, or a file's bytes do not give its checksum
    RuntimeError,  # an entry locked by a password; NotImplementedError, of it, an unknown packing
    EOFError,  # cut off
    zlib.error,  # the packed bytes are damaged
    lzma.LZMAError,
    OSError,
    ValueError,  # its own table of files points before its beginning, or a name in it is no text
    struct.error,
)


def keep_ruleset(connection: Connection, wish: Submission, now: str) -> str:
    """Keep the rules of a submission, inside the issuing, and return the SHA-256 of what is kept.

    Raises RulesetConflict when others are kept under this digest, or none are and none were handed over.
    """
    table = tables.ruleset
    stored = connection.execute(
        select(table.c.body).where(
            table.c.organisation == wish.organisation, table.c.digest == wish.ruleset_digest
        )
    ).scalar()
    if stored is not None:
        handed = wish.ruleset_zip
        if handed not in (None, stored) and _unzipped(handed) != _unzipped(stored):
            raise RulesetConflict("This ruleset is stored with other content.")
        return sha256(stored)
    if wish.ruleset_zip is None:
        raise RulesetConflict("This ruleset is not stored yet and was not handed over.")
    body = checking.content("ruleset_zip", wish.ruleset_zip, LARGEST)
    own = {"digest": wish.ruleset_digest, "version": wish.ruleset_version}
    connection.execute(insert(table).values(organisation=wish.organisation, body=body, **own))
    log.append(
        connection, wish.organisation, "ruleset", now, wish.person, None, {**own, "sha256": sha256(body)}
    )
    return sha256(body)


def digest_of(ruleset_zip: bytes) -> str:
    """Return the digest over the files of a stored ruleset, as `rules.digest` reckons it; empty for none."""
    try:
        with zipfile.ZipFile(io.BytesIO(ruleset_zip)) as packed:
            names = packed.namelist()
            if sum(one.file_size for one in packed.infolist()) > LARGEST:
                return ""
            bodies = {name: packed.read(name) for name in names}
    except UNREADABLE_ZIP:
        return ""
    own = {name.removeprefix(WITHIN): body for name, body in bodies.items() if name.startswith(WITHIN)}
    # Anything beside the rules, or a name twice, could judge and would not be in the digest.
    if len(names) != len(bodies) or bodies.keys() - {WITHIN + name for name in own} - {BESIDE}:
        return ""
    if bodies.get(BESIDE):
        return ""
    total = hashlib.sha256()
    for name, body in sorted(own.items()):
        total.update(f"{name}\0{len(body)}\0".encode())
        total.update(body)
    return total.hexdigest()


def _unzipped(body: bytes) -> dict[str, bytes] | bytes:
    # Another Python may pack the same files into other bytes; the first ones stored stay.
    try:
        with zipfile.ZipFile(io.BytesIO(body)) as packed:
            return {name: packed.read(name) for name in packed.namelist()}
    except UNREADABLE_ZIP:
        # Nothing in it can be compared, so only the very same bytes are the same, and any others
        # are refused as another content.
        return body
