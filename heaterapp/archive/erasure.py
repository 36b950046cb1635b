"""Erasing the content of a record for privacy; its place in the log stays and still verifies."""

from sqlalchemy import delete, select, update

from heaterapp.archive import checking, log, phone_tables, rechecks, sweeping, tables
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
        not touched. Harmless to repeat. Raises NotFound, Invalid. The bytes leave the
        database file when it is next compacted.
        """
        kept_reason = checking.line("reason", reason, 300, empty=False)
        now = self._database.now()
        payload, finding, known = tables.payload, tables.finding, tables.record
        with self._database.write() as connection:
            log.lock(connection, organisation)
            read_person(connection, organisation, person)
            this = (known.c.organisation == organisation, known.c.id == record)
            if not connection.execute(select(known.c.id).where(*this)).first():
                raise NotFound("No such record.")
            left = (
                payload.c.organisation == organisation,
                payload.c.record == record,
                payload.c.salt.is_not(None),
            )
            if not connection.execute(select(payload.c.name).where(*left).limit(1)).first():
                return
            # First the log entry: the database permits the change only after it.
            log.append(connection, organisation, "erase", now, person, record, {"reason": kept_reason})
            connection.execute(update(payload).where(*left).values(salt=None, body=None))
            connection.execute(
                delete(finding).where(finding.c.organisation == organisation, finding.c.record == record)
            )
            sweeping.drop(connection, organisation, record)
            rechecks.forget(connection, organisation, record)
            arrival = phone_tables.arrival
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
