"""The log: one chain of SHA-256 per organisation, only ever added to."""

from collections.abc import Mapping, Sequence
from typing import Any

from sqlalchemy import Connection, Row, bindparam, insert, or_, select, update

from heaterapp.archive import said, tables
from heaterapp.archive.canonical import canonical, sha256
from heaterapp.archive.database import Database
from heaterapp.archive.errors import Invalid, NotFound
from heaterapp.archive.shapes import LogEntry

_table = tables.log
_head = tables.log_head
JOB_ACTS = ("desk", "inspection", "hold", "hold_lifted", "correct_opened", "erase_job")
JOB_KEYS = ("job", "job_id")
"""How the bodies of these acts name their job."""
CHAINED = ("organisation", "seq", "at", "act", "actor", "record", "body", "previous")
# Asked several times in every act: built once.
_locked = select(_head).where(_head.c.organisation == bindparam("firm")).with_for_update()
_insert = insert(_table)
_moved = update(_head).where(_head.c.organisation == bindparam("firm"))
_moved = _moved.values(seq=bindparam("new_seq"), digest=bindparam("new_digest"))


class Log:
    """Reading the log. Only the archive's own acts write to it."""

    def __init__(self, database: Database):
        self._database = database

    def head(self, organisation: int) -> str:
        """Return the digest of the newest entry; 64 zeros for an empty log."""
        with self._database.read() as connection:
            digest = connection.execute(
                select(_head.c.digest).where(_head.c.organisation == organisation)
            ).scalar()
        if digest is None:
            raise NotFound("No such organisation.")
        return digest

    def entries(self, organisation: int, after: int = 0, limit: int = 100) -> list[LogEntry]:
        """Return entries in their order, those with a sequence number above `after`."""
        query = select(_table).where(_table.c.organisation == organisation, _table.c.seq > after)
        with self._database.read() as connection:
            rows = connection.execute(query.order_by(_table.c.seq).limit(max(1, min(limit, 1000))))
            return _with_words(connection, rows.all())

    def standing(self, head: str) -> list[LogEntry]:
        """Return the entries, of any organisation, whose digest begins with `head`: where it stands.

        head  16 to 64 hex digits, as a paper carries it; spaces and capitals do not matter

        None of them: no log here was ever at this head. Raises Invalid.
        """
        asked = "".join(head.split()).lower()
        if not 16 <= len(asked) <= 64 or not set(asked) <= set("0123456789abcdef"):
            raise Invalid("head", "16 to 64 of the digits 0 to 9 and a to f, as the paper shows them")
        with self._database.read() as connection:
            firms = connection.execute(select(_head.c.organisation)).scalars().all()
            here = (_table.c.organisation.in_(firms), _table.c.digest.startswith(asked))
            rows = connection.execute(select(_table).where(*here).order_by(_table.c.organisation))
            return [LogEntry(*row) for row in rows]

    def newest(
        self,
        organisation: int,
        *,
        before: int | None = None,
        act: str | None = None,
        actor: int | None = None,
        records: Sequence[int] | None = None,
        limit: int = 50,
    ) -> list[LogEntry]:
        """Return entries newest first, those with a sequence number below `before`.

        act, actor  only this act, only what this person did
        records     only what names one of these records
        limit       1 to 1000
        """
        only = [_table.c.organisation == organisation]
        only += [] if before is None else [_table.c.seq < before]
        only += [] if act is None else [_table.c.act == act]
        only += [] if actor is None else [_table.c.actor == actor]
        only += [] if records is None else [_table.c.record.in_(list(records))]
        # Reckoned with where records are named, so that no planner walks the whole log for the few of these.
        newest = _table.c.seq if records is None else _table.c.seq + 0
        query = select(_table).where(*only).order_by(newest.desc())
        with self._database.read() as connection:
            rows = connection.execute(query.limit(max(1, min(limit, 1000))))
            return _with_words(connection, rows.all())

    def of_job(
        self, organisation: int, job_id: str, records: Sequence[int], limit: int = 200
    ) -> list[LogEntry]:
        """Return, newest first, what names one of these records, and what was done to their job beside them.

        limit  1 to 1000
        """
        limit = max(1, min(limit, 1000))
        named = self.newest(organisation, records=records, limit=limit)
        # A job's id is made of letters, digits and dashes: nothing in it means anything to LIKE.
        told = or_(*(_table.c.body.contains(f'"{key}":"{job_id}"', autoescape=True) for key in JOB_KEYS))
        own = (_table.c.organisation == organisation, _table.c.act.in_(JOB_ACTS), told)
        with self._database.read() as connection:
            rows = connection.execute(select(_table).where(*own).order_by(_table.c.seq.desc()).limit(limit))
            found = {one.seq: one for one in _with_words(connection, list(rows))}
        found |= {one.seq: one for one in named}
        return [found[seq] for seq in sorted(found, reverse=True)[:limit]]


def _with_words(connection: Connection, rows: Sequence[Row]) -> list[LogEntry]:
    found = said.words_of(connection, [(row.organisation, row.seq) for row in rows if said.MARK in row.body])
    return [LogEntry(*row, said=found.get((row.organisation, row.seq), {})) for row in rows]


def lock(connection: Connection, organisation: int) -> Row:
    """Make this transaction the organisation's only writer and return the log's head."""
    head = connection.execute(_locked, {"firm": organisation}).first()
    if head is None:
        raise NotFound("No such organisation.")
    return head


def append(
    connection: Connection,
    organisation: int,
    act: str,
    at: str,
    actor: int | None,
    record: int | None,
    body: dict[str, Any],
    words: Mapping[str, str] | None = None,
    of_job: str | Mapping[str, str] | None = None,
) -> str:
    """Add an entry in the caller's transaction and return its digest, the new head.

    words   what a person typed, name -> one line: erased with the record, or with the job of `of_job`,
            which may name one for each
    """
    head = lock(connection, organisation)
    if words:
        digests = said.keep(connection, (organisation, head.seq + 1), record, of_job, words)
        body = {**body, said.MARK: digests}
    entry = {
        "organisation": organisation,
        "seq": head.seq + 1,
        "at": at,
        "act": act,
        "actor": actor,
        "record": record,
        "body": canonical(body),
        "previous": head.digest,
    }
    digest = entry_digest(entry)
    connection.execute(_insert, {"digest": digest, **entry})
    moved = {"firm": organisation, "new_seq": head.seq + 1, "new_digest": digest}
    connection.execute(_moved, moved)
    return digest


def entry_digest(entry: dict[str, Any]) -> str:
    """Return SHA-256 over the canonical JSON of everything in an entry but its digest."""
    return sha256(canonical({name: entry[name] for name in CHAINED}))
