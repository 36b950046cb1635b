"""The bodies of payloads, wherever they lie: written before the rows that name them, read by one function.

A row with a salt and without a body lies in the place for blobs under its digest; an
erased row has neither. Every body that is put there is first noted in `loose_blob`; the
transaction that names it takes the note away. So a note that is left is of a body that
nothing names, and so is one that an erasure leaves.
"""

from collections.abc import Iterable, Mapping
from concurrent.futures import ThreadPoolExecutor
from contextlib import suppress
from dataclasses import dataclass, field
from datetime import timedelta
from types import SimpleNamespace
from typing import Any

from sqlalchemy import Connection, delete, insert, select

from heaterapp.archive import faults, tables
from heaterapp.archive.blob_tables import loose_blob
from heaterapp.archive.blobs import Blobs
from heaterapp.archive.canonical import new_salt, salted
from heaterapp.archive.database import Database, stamp
from heaterapp.archive.errors import BlobsFailed

SMALLEST = 4096
"""Bodies of so many bytes or more go to the place for blobs, where there is one."""
UNNAMED_FOR = timedelta(days=1)
AT_ONCE = 8
SWEPT_AT_ONCE = 100
_loose, _payload = loose_blob, tables.payload


@dataclass
class Placed:
    """Salts and digests of a record's bodies, and which of them lie in the place for blobs already."""

    salts: dict[str, bytes] = field(default_factory=dict)
    digests: dict[str, str] = field(default_factory=dict)
    away: frozenset[str] = frozenset()

    def add(self, name: str, body: bytes) -> None:
        """Take in one more body, which will lie in the database."""
        self.salts[name] = new_salt()
        self.digests[name] = salted(self.salts[name], name, body)

    def away_digests(self) -> list[str]:
        return [self.digests[name] for name in sorted(self.away)]


def place(database: Database, organisation: int, bodies: Mapping[str, bytes]) -> Placed:
    """Salt all bodies and put the large ones where they will lie. Raises BlobsFailed; then all is let go."""
    placed = Placed()
    for name, body in bodies.items():
        placed.add(name, body)
    if database.blobs is None:
        return placed
    placed.away = frozenset(name for name, body in bodies.items() if len(body) >= SMALLEST)
    if not placed.away:
        return placed
    due = stamp(database.moment() + UNNAMED_FOR)
    notes = [
        {"organisation": organisation, "digest": digest, "due_at": due} for digest in placed.away_digests()
    ]
    with database.write() as connection:
        connection.execute(insert(_loose), notes)
    faults.at("blobs_noted")
    done = []
    try:
        for name in sorted(placed.away):
            database.blobs.put(placed.digests[name], bodies[name])
            done.append(placed.digests[name])
            faults.at("blob_put")
    except BlobsFailed:
        # The one that failed keeps its note: nobody knows what came through.
        _take_away(database, organisation, done)
        raise
    return placed


def keep(
    connection: Connection, organisation: int, record: int, bodies: Mapping[str, bytes], placed: Placed
) -> None:
    """Write the rows of all bodies in the caller's transaction, which names those that were put away."""
    own = {"organisation": organisation, "record": record}
    rows = [
        {
            "name": name,
            "salt": placed.salts[name],
            "body": None if name in placed.away else body,
            "digest": placed.digests[name],
        }
        for name, body in bodies.items()
    ]
    connection.execute(insert(_payload), [{**own, **row} for row in rows])
    if placed.away:
        these = (_loose.c.organisation == organisation, _loose.c.digest.in_(placed.away_digests()))
        if connection.execute(delete(_loose).where(*these)).rowcount != len(placed.away):
            raise BlobsFailed("This took longer than a day, and its files were swept away: try again.")


def let_go(database: Database, organisation: int, placed: Placed) -> None:
    """Take away what was put and is surely named by nothing; what fails is left to the sweep."""
    _take_away(database, organisation, placed.away_digests())


def _take_away(database: Database, organisation: int, digests: list[str]) -> None:
    if not digests:
        return
    with suppress(BlobsFailed):
        for digest in digests:
            reached(database.blobs).delete(digest)
        with database.write() as connection:
            these = (_loose.c.organisation == organisation, _loose.c.digest.in_(digests))
            connection.execute(delete(_loose).where(*these))


def leave(connection: Connection, organisation: int, record: int, now: str) -> None:
    """Note the bodies of a record that its erasure leaves behind, in the same transaction."""
    away = select(_payload.c.digest).where(
        _payload.c.organisation == organisation, _payload.c.record == record, _payload.c.salt.is_not(None),
        _payload.c.body.is_(None),
    )  # fmt: skip
    digests = connection.execute(away).scalars().all()
    if digests:
        own = {"organisation": organisation, "due_at": now}
        connection.execute(insert(_loose), [{**own, "digest": digest} for digest in digests])


def sweep(database: Database) -> int:
    """Take away every body that nothing names, none younger than a day but what was erased; return how many.

    Raises BlobsFailed, also where bodies wait and no place for blobs is set. Harmless to repeat.
    """
    swept = 0
    due = select(_loose.c.organisation, _loose.c.digest).where(_loose.c.due_at <= database.now())
    while True:
        with database.read() as connection:
            found = connection.execute(due.limit(SWEPT_AT_ONCE)).all()
        if not found:
            return swept
        # Outside any transaction: a slow service holds up nobody.
        for _, digest in found:
            reached(database.blobs).delete(digest)
            faults.at("blob_deleted")
        with database.write() as connection:
            for organisation, digest in found:
                this = (_loose.c.organisation == organisation, _loose.c.digest == digest)
                swept += connection.execute(delete(_loose).where(*this)).rowcount


def sweep_quietly(database: Database) -> None:
    """Sweep after an erasure; what cannot be reached now is swept at the next start."""
    if database.blobs is not None:
        with suppress(BlobsFailed):
            sweep(database)


def reached(blobs: Blobs | None) -> Blobs:
    if blobs is None:
        raise BlobsFailed("A file lies in a place for blobs, and none is set here: set HEATERAPP_BLOBS")
    return blobs


def read(connection: Connection, rows: Iterable[Any]) -> dict[str, bytes | None]:
    """Return name -> body of payload rows with name, salt, digest and body; None for an erased one.

    Raises BlobsFailed for a body that is missing from the place for blobs, or changed there.
    """
    found = {}
    for row in filled(connection, rows):
        if row.lost is not None:
            raise BlobsFailed(f"{row.name} {row.lost}")
        found[row.name] = row.body
    return found


def filled(connection: Connection, rows: Iterable[Any]) -> list[SimpleNamespace]:
    """Return payload rows with their bodies; `lost` says what is wrong with one that lies elsewhere."""
    whole = [SimpleNamespace(**row._mapping, lost=None) for row in rows]
    away = [row for row in whole if row.salt is not None and row.body is None]
    if not away:
        return whole
    blobs = reached(connection.get_execution_options().get("blobs"))
    with ThreadPoolExecutor(min(AT_ONCE, len(away))) as several:
        for row, body in zip(away, several.map(lambda row: blobs.get(row.digest), away), strict=True):
            if body is None:
                row.lost = "is missing from the place for blobs"
            elif salted(row.salt, row.name, body) != row.digest:
                row.lost = "was changed in the place for blobs"
            else:
                row.body = body
    return whole


def still_away(connection: Connection, rows: Iterable[Any]) -> list[Any]:
    """Return those payload rows, all of them erased, whose body still lies in the place for blobs.

    One that is noted to be swept is none of them.
    """
    blobs, rows = connection.get_execution_options().get("blobs"), list(rows)
    if blobs is None or not rows:
        return []
    noted = select(_loose.c.digest).where(_loose.c.digest.in_([row.digest for row in rows]))
    waiting = set(connection.execute(noted).scalars())
    sought = [row for row in rows if row.digest not in waiting]
    with ThreadPoolExecutor(AT_ONCE) as several:
        sizes = list(several.map(lambda row: blobs.size(row.digest), sought))
    return [row for row, size in zip(sought, sizes, strict=True) if size is not None]


def sizes(connection: Connection, rows: Iterable[Any]) -> dict[str, int]:
    """Return name -> bytes of payload rows with name, salt, digest and `size`, 0 once erased."""
    blobs = connection.get_execution_options().get("blobs")
    return {
        row.name: row.size
        if row.size is not None
        else (reached(blobs).size(row.digest) or 0)
        if row.salt is not None
        else 0
        for row in rows
    }
