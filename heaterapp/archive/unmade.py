"""What is numbered and could not be made: the log keeps the last fault, for every process and the next start.

What broke may have words of a person in it, so it stands beside the log and is erased with its record.
"""

from __future__ import annotations

from collections.abc import Collection
from datetime import datetime, timedelta

from sqlalchemy import Connection, select

from heaterapp.archive import faults, log, said, tables
from heaterapp.archive.database import Database
from heaterapp.archive.hits import read_hits
from heaterapp.archive.shapes import Unmade

ACT, WORD = "finish_failed", "why"
LONGEST = 300
NOTED_FOR = timedelta(minutes=1)
"""A fault that comes again is noted again after so long, or when it is another one."""


class Unmades:
    """Notes why papers could not be made, and reads what waits for them."""

    def __init__(self, database: Database):
        self._database = database

    def note(self, organisation: int, record: int, error: Exception) -> None:
        """Keep what broke, unless the papers are stored by now or it was noted a moment ago."""
        why = _line(f"{type(error).__name__}: {error}")
        with self._database.write() as connection:
            log.lock(connection, organisation)
            faults.at("unmade_begun")
            now = self._database.now()
            at, before = _last(connection, organisation, [record]).get(record, ("", ""))
            again = why == before and datetime.fromisoformat(now) - datetime.fromisoformat(at) < NOTED_FOR
            if again or not is_pending(connection, organisation, record):
                return
            log.append(connection, organisation, ACT, now, None, record, {}, words={WORD: why})
            faults.at("after_unmade_log")
        faults.at("unmade_committed")

    def of(self, organisation: int, job_id: str | None = None) -> list[Unmade]:
        """Return what is numbered and has no papers yet, newest first; it replaces nothing.

        job_id  of this job alone; of the whole firm where None
        """
        pending, record = tables.pending, tables.record
        waiting = select(pending.c.record).where(pending.c.organisation == organisation)
        if job_id is not None:
            waiting = waiting.join(record, record.c.id == pending.c.record).where(record.c.job_id == job_id)
        with self._database.read() as connection:
            ids = connection.execute(waiting).scalars().all()
            last = _last(connection, organisation, ids) if ids else {}
            hits = read_hits(connection, organisation, ids) if ids else []
        return [
            Unmade(
                hit.record, hit.number, hit.job_id, hit.facts.address, hit.issued_at,
                hit.superseded_by_number, *last.get(hit.record, ("", "")),
            )
            for hit in hits
        ]  # fmt: skip


def is_pending(connection: Connection, organisation: int, record: int) -> bool:
    """Say whether a record's papers are not stored yet."""
    pending = tables.pending
    waits = (pending.c.organisation == organisation, pending.c.record == record)
    return connection.execute(select(pending.c.record).where(*waits)).first() is not None


def _last(connection: Connection, organisation: int, records: Collection[int]) -> dict[int, tuple[str, str]]:
    """Return record -> when its last try failed, and why."""
    entry = tables.log
    mine = (entry.c.organisation == organisation, entry.c.act == ACT, entry.c.record.in_(records))
    # Reckoned with, so that no planner walks the log for these few entries.
    rows = connection.execute(select(entry).where(*mine).order_by(entry.c.seq + 0)).all()
    newest = {row.record: row for row in rows}
    words = said.words_of(connection, [(organisation, row.seq) for row in newest.values()])
    return {
        record: (row.at, words.get((organisation, row.seq), {}).get(WORD, ""))
        for record, row in newest.items()
    }


def _line(text: str) -> str:
    return "".join(one if one.isprintable() else " " for one in " ".join(text.split()))[:LONGEST]
