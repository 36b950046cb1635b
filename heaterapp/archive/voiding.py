"""Voiding: an issued record is said to hold no more; its row, content and papers stay as they are."""

from sqlalchemy import Connection, insert, select

from heaterapp.archive import checking, faults, log, office_tables
from heaterapp.archive.correcting import require_current
from heaterapp.archive.database import Database
from heaterapp.archive.errors import AlreadyVoid, NotFound
from heaterapp.archive.hits import read_hits
from heaterapp.archive.people import read_person

_table = office_tables.void


class Voiding:
    """The only writer of voids."""

    def __init__(self, database: Database):
        self._database = database

    def void(self, organisation: int, record: int, person: int, reason: str) -> None:
        """Declare a record void for good, as a logged act of `person`.

        reason  one line of 1 to 300 characters; it stays until the record is erased

        The job's next paper of this kind supersedes the void one as it would any other. Nothing
        comes back into force by it. What is replaced already holds no more: the one that stands in
        its place is voided. The same act of the same person again is done already and changes nothing.
        Raises NotFound, Invalid, AlreadyVoid, NotCurrent.
        """
        self._void(organisation, record, person, checking.reason(reason), person)

    def again(self, organisation: int, record: int, person: int, reason: str) -> None:
        """Void after a restore, as the program, what `person` had voided."""
        self._void(organisation, record, person, reason, None)

    def _void(self, organisation: int, record: int, person: int, kept: str, actor: int | None) -> None:
        now = self._database.now()
        with self._database.write() as connection:
            head = log.lock(connection, organisation)
            faults.at("void_begun")
            read_person(connection, organisation, person)
            hits = read_hits(connection, organisation, [record])
            if not hits:
                raise NotFound("No such record.")
            if hits[0].state == "void":
                if hits[0].void_reason == kept and _voided_by(connection, organisation, record) == person:
                    return
                raise AlreadyVoid(hits[0].number)
            require_current(connection, hits[0], organisation)
            told = {"voided_at": now, "voided_by": person}
            own = {"organisation": organisation, "record": record, "entry": head.seq + 1}
            connection.execute(insert(_table).values(**own, **told))
            faults.at("after_void_row")
            log.append(connection, organisation, "void", now, actor, record, told, {"reason": kept})
            faults.at("after_void_log")
        faults.at("void_committed")


def _voided_by(connection: Connection, organisation: int, record: int) -> int | None:
    this = (_table.c.organisation == organisation, _table.c.record == record)
    by: int | None = connection.execute(select(_table.c.voided_by).where(*this)).scalar()
    return by
