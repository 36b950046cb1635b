"""Logos: small pictures that papers carry at their head, kept once by their SHA-256 and never changed."""

from typing import Any

from sqlalchemy import Connection, insert, select

from heaterapp.archive import checking, log, office_tables
from heaterapp.archive.canonical import sha256
from heaterapp.archive.one_firm import rows_of
from heaterapp.archive.shapes import Fault

LARGEST = 60_000
ACT = "logo"
_table = office_tables.logo


def keep(connection: Connection, organisation: int, person: int | None, body: bytes, now: str) -> str:
    """Keep a logo in the caller's transaction and return its digest; one that is kept already stays."""
    checking.content("logo", body, LARGEST)
    digest = sha256(body)
    if read(connection, organisation, digest) is None:
        own = {"digest": digest, "kept_at": now}
        connection.execute(insert(_table).values(organisation=organisation, body=body, **own))
        log.append(connection, organisation, ACT, now, person, None, own)
    return digest


def read(connection: Connection, organisation: int, digest: object) -> bytes | None:
    """Return a kept logo's bytes, or None where this organisation has none of this digest."""
    if not isinstance(digest, str):
        return None
    this = (_table.c.organisation == organisation, _table.c.digest == digest)
    return connection.execute(select(_table.c.body).where(*this)).scalar()


def check(
    connection: Connection,
    vouched: dict[tuple[int, Any], Any],
    faults: list[Fault],
    only: int | None = None,
) -> None:
    """Hold every kept logo against the log; `vouched` is (organisation, digest) -> when the log says."""
    seen = set()
    for row in connection.execute(rows_of(_table, only)):
        name = f"organisation {row.organisation} {row.digest}"
        if (row.organisation, row.digest) not in vouched:
            faults.append(Fault("logo", name, "digest", "is not in the log"))
            continue
        seen.add((row.organisation, row.digest))
        if row.kept_at != vouched[row.organisation, row.digest]:
            faults.append(Fault("logo", name, "kept_at", "differs from the log"))
        if sha256(row.body) != row.digest:
            faults.append(Fault("logo", name, "body", "does not match its digest"))
    missing = vouched.keys() - seen
    faults += [Fault("logo", f"organisation {one} {digest}", "digest", "missing") for one, digest in missing]
