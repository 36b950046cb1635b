"""Links for the homeowner: unguessable, revocable, and only their hash is stored."""

import json
import secrets
from datetime import datetime

from sqlalchemy import Connection, Row, insert, select, update

from heaterapp.archive import faults, log, tables
from heaterapp.archive.canonical import sha256
from heaterapp.archive.database import Database, stamp
from heaterapp.archive.errors import Invalid, NotFound
from heaterapp.archive.hits import read_hits
from heaterapp.archive.people import read_person
from heaterapp.archive.shapes import Share

TOKEN_BYTES = 24
SHORTEST_TOKEN, LONGEST_TOKEN = 32, 100
LED_ON = "share_led_on"
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
        """Return the share a token opens, and what it shows, or None when unknown, revoked or expired."""
        hashed = sha256(token[:100].encode("utf-8", "replace"))
        moment = self._database.now(now)
        with self._database.read() as connection:
            row = connection.execute(select(_table).where(_table.c.token_hash == hashed)).first()
            if row is None or not _opens(row, moment):
                return None
            return _shape(row, _led_on(connection, row.organisation, row.record))

    def lead_on(self, organisation: int, share: int, record: int, person: int | None = None) -> None:
        """Let an open link of an earlier paper show a newer one of its job; harmless where it does already.

        The log alone says so: the link stays its own record's, and is closed there.

        Raises NotFound; Invalid for a link that opens no more, and for a paper that is no newer one of the
        same job, or is void or not finished.
        """
        this = (_table.c.organisation == organisation, _table.c.id == share)
        now = self._database.now()
        with self._database.write() as connection:
            log.lock(connection, organisation)
            faults.at("share_lead_begun")
            if person is not None:
                read_person(connection, organisation, person)
            row = connection.execute(select(_table).where(*this)).first()
            if row is None:
                raise NotFound("No such link.")
            own, to = row.record, record
            hits = {hit.record: hit for hit in read_hits(connection, organisation, sorted({own, to}))}
            if to not in hits:
                raise NotFound("No such record.")
            shows = _shape(row, _led_on(connection, organisation, own)).shows
            if shows == to:
                return
            if not _opens(row, now):
                raise Invalid("share", "a link that opens")
            if hits[to].job_id != hits[own].job_id or to < shows or hits[to].state != "current":
                raise Invalid("record", "a newer paper of the same job that stands")
            log.append(connection, organisation, LED_ON, now, person, own, {"share": share, "to": to})
            faults.at("after_share_lead")
        faults.at("share_lead_committed")

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
            led = _led_on(connection, organisation, record)
            return [_shape(row, led) for row in connection.execute(query.order_by(_table.c.id.desc()))]


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


def _opens(row: Row, now: str) -> bool:
    return row.revoked_at is None and (row.expires_at is None or row.expires_at > now)


def _led_on(connection: Connection, organisation: int, record: int) -> dict[int, int]:
    """Link of a record -> the newer record that it shows, by the log."""
    entry = tables.log.c
    this = (entry.organisation == organisation, entry.act == LED_ON, entry.record == record)
    # Reckoned with, so that no planner walks the whole log for the few entries of one record.
    rows = connection.execute(select(entry.body).where(*this).order_by(entry.seq + 0)).scalars()
    return {int(said["share"]): int(said["to"]) for said in map(json.loads, rows)}


def _shape(row: Row, led: dict[int, int] | None = None) -> Share:
    return Share(
        row.id, row.organisation, row.record, row.created_at, row.created_by, row.expires_at, row.revoked_at,
        (led or {}).get(row.id, row.record),
    )  # fmt: skip
