"""Erasing the content of a record for privacy; its place in the log stays and still verifies."""

from sqlalchemy import Connection, delete, select, update

from heaterapp.archive import (
    bodies,
    checking,
    faults,
    holds,
    log,
    mails,
    phone_tables,
    rechecks,
    said,
    sweeping,
    tables,
)
from heaterapp.archive.database import Database
from heaterapp.archive.errors import NotFound
from heaterapp.archive.people import read_person


class Erasure:
    """The one change the database permits to issued content."""

    def __init__(self, database: Database):
        self._database = database

    def erase(self, organisation: int, record: int, person: int, reason: str) -> None:
        """Remove content, papers and search row of one record, as a logged act of `person`.

        The salts go as well, so the digests left in the log confirm no guess. The
        number, dates and ruleset stay. Other records and the job's working row are
        not touched. Harmless to repeat. Raises NotFound, Invalid, UnderHold. The bytes
        leave the database file when it is next compacted.
        """
        self._erase(organisation, record, person, checking.reason(reason))

    def again(self, organisation: int, record: int, reason: str) -> None:
        """Erase after a restore, as the program, a record that the backup still has, held or not."""
        self._erase(organisation, record, None, reason)

    def _erase(self, organisation: int, record: int, person: int | None, kept_reason: str) -> None:
        now = self._database.now()
        known = tables.record
        with self._database.write() as connection:
            log.lock(connection, organisation)
            faults.at("erase_begun")
            if person is not None:
                read_person(connection, organisation, person)
            this = (known.c.organisation == organisation, known.c.id == record)
            job_id = connection.execute(select(known.c.job_id).where(*this)).scalar()
            if job_id is None:
                raise NotFound("No such record.")
            if person is not None:
                holds.refuse_held(connection, organisation, job_id)
            empty(connection, now, organisation, record, person, kept_reason)
            faults.at("after_erased")
        faults.at("erase_committed")
        bodies.sweep_quietly(self._database)


def empty(
    connection: Connection, now: str, organisation: int, record: int, person: int | None, reason: str
) -> None:
    """Log the erasure and take away all that is left of a record's content, in the caller's transaction."""
    payload, finding, arrival = tables.payload, tables.finding, phone_tables.arrival
    left = (payload.c.organisation == organisation, payload.c.record == record, payload.c.salt.is_not(None))
    if not connection.execute(select(payload.c.name).where(*left).limit(1)).first():
        return
    # First the log entry: the database permits the change only after it.
    log.append(connection, organisation, "erase", now, person, record, {"reason": reason})
    said.forget(connection, organisation, [record])
    mails.forget(connection, organisation, record)
    bodies.leave(connection, organisation, record, now)
    connection.execute(update(payload).where(*left).values(salt=None, body=None))
    connection.execute(
        delete(finding).where(finding.c.organisation == organisation, finding.c.record == record)
    )
    sweeping.drop(connection, organisation, record)
    rechecks.forget(connection, organisation, record)
    # Unsalted digests would confirm a guess at what was erased.
    connection.execute(
        update(arrival)
        .where(arrival.c.organisation == organisation, arrival.c.record == record)
        .values(content_sha256="", report_sha256="", differs="")
    )
    pending = tables.pending
    connection.execute(
        delete(pending).where(pending.c.organisation == organisation, pending.c.record == record)
    )
