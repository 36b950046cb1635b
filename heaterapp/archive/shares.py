"""Links for the homeowner: unguessable, revocable, and only their hash is stored."""

import secrets
from datetime import datetime

from sqlalchemy import Connection, Row, insert, select, update

from heaterapp.archive import log, tables
from heaterapp.archive.canonical import sha256
from heaterapp.archive.database import Database, stamp
from heaterapp.archive.errors import Invalid, NotFound
from heaterapp.archive.people import read_person
from heaterapp.archive.shapes import Share

TOKEN_BYTES = 24
SHORTEST_TOKEN, LONGEST_TOKEN = 32, 100
_table = tables.share


class Shares:
    """Share links of records; making and revoking stand in the log."""

    def __init__(self, database: Database):
        self._database = database

    def make(
        self,
        organisation: int,
        record: int,
        person: int | None = None,
        expires_at: datetime | None = None,
        token: str | None = None,
    ) -> tuple[str, Share]:
        """Return a new link token of 192 random bits, told only this once, and its share.

        token  the caller's own, which nobody can guess; the record's link that has it already is given
               again, open or closed, and no other is made. At least 32 characters

        Raises NotFound, Invalid.
        """
        token = secrets.token_urlsafe(TOKEN_BYTES) if token is None else _long_enough(token)
        now = self._database.now()
        until = stamp(expires_at) if expires_at is not None else None
        known = select(tables.record.c.id).where(
            tables.record.c.organisation == organisation, tables.record.c.id == record
        )
        with self._database.write() as connection:
            log.lock(connection, organisation)
            if person is not None:
                read_person(connection, organisation, person)
            if not connection.execute(known).first():
                raise NotFound("No such record.")
            mine = (_table.c.organisation == organisation, _table.c.record == record)
            made_before = select(_table).where(*mine, _table.c.token_hash == sha256(token))
            if known_one := connection.execute(made_before).first():
                return token, _shape(known_one)
            return token, keep(connection, organisation, record, token, now, person, until)

    def lookup(self, token: str, now: datetime | None = None) -> Share | None:
        """Return the share a token opens, or None when unknown, revoked or expired."""
        hashed = sha256(token[:100].encode("utf-8", "replace"))
        moment = self._database.now(now)
        with self._database.read() as connection:
            row = connection.execute(select(_table).where(_table.c.token_hash == hashed)).first()
        if row is None or row.revoked_at is not None:
            return None
        return None if row.expires_at is not None and row.expires_at <= moment else _shape(row)

    def revoke(self, organisation: int, share: int, person: int | None = None) -> None:
        """Close a link for good; harmless when it is closed already. Raises NotFound."""
        this = (_table.c.organisation == organisation, _table.c.id == share)
        now = self._database.now()
        with self._database.write() as connection:
            log.lock(connection, organisation)
            if person is not None:
                read_person(connection, organisation, person)
            if connection.execute(select(_table).where(*this)).first() is None:
                raise NotFound("No such link.")
            close(connection, organisation, share, now, person)

    def all_for(self, organisation: int, record: int) -> list[Share]:
        """Return a record's links, closed ones too, newest first."""
        query = select(_table).where(_table.c.organisation == organisation, _table.c.record == record)
        with self._database.read() as connection:
            return [_shape(row) for row in connection.execute(query.order_by(_table.c.id.desc()))]


def keep(
    connection: Connection,
    organisation: int,
    record: int,
    token: str,
    now: str,
    person: int | None,
    expires_at: str | None = None,
) -> Share:
    """Keep the hash of a link's token, and log it, in the caller's transaction."""
    values = {
        "organisation": organisation, "record": record, "token_hash": sha256(token), "created_at": now,
        "created_by": person, "expires_at": expires_at,
    }  # fmt: skip
    made = connection.execute(insert(_table).values(values))
    row = connection.execute(select(_table).where(_table.c.id == made.inserted_primary_key[0])).one()
    log.append(connection, organisation, "share", now, person, record, {"share": row.id, **values})
    return _shape(row)


def close(connection: Connection, organisation: int, share: int, now: str, person: int | None) -> None:
    """Close a link that is open, and log it, in the caller's transaction."""
    this = (_table.c.organisation == organisation, _table.c.id == share, _table.c.revoked_at.is_(None))
    row = connection.execute(select(_table).where(*this)).first()
    if row is not None:
        connection.execute(update(_table).where(*this).values(revoked_at=now))
        body = {"share": share, "revoked_at": now}
        log.append(connection, organisation, "share_revoked", now, person, row.record, body)


def _long_enough(token: str) -> str:
    if not SHORTEST_TOKEN <= len(token) <= LONGEST_TOKEN:
        raise Invalid("token", f"{SHORTEST_TOKEN} to {LONGEST_TOKEN} characters")
    return token


def _shape(row: Row) -> Share:
    return Share(
        row.id, row.organisation, row.record, row.created_at, row.created_by, row.expires_at, row.revoked_at
    )
