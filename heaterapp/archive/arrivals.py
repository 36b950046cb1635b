"""What arrived from phones, found again by its draft: for a retry, and for the office."""

from dataclasses import dataclass

from sqlalchemy import Row, func, select

from heaterapp.archive import phone_tables, tables
from heaterapp.archive.database import Database

_table = phone_tables.arrival
_record = tables.record


@dataclass(frozen=True)
class Arrived:
    """One parcel that was issued. The digests are empty once its content was erased."""

    draft: str
    record: int
    number: str
    kind: str
    job_id: str
    person: int
    received_at: str
    content_sha256: str
    report_sha256: str
    differs: str


class Arrivals:
    """An organisation's accepted parcels. They are written by the issuing alone."""

    def __init__(self, database: Database):
        self._database = database

    def by_draft(self, organisation: int, draft: str) -> Arrived | None:
        with self._database.read() as connection:
            row = connection.execute(self._rows(organisation).where(_table.c.draft == draft)).first()
        return _shape(row) if row else None

    def of_record(self, organisation: int, record: int) -> Arrived | None:
        with self._database.read() as connection:
            row = connection.execute(self._rows(organisation).where(_table.c.record == record)).first()
        return _shape(row) if row else None

    def different(self, organisation: int, limit: int = 100) -> list[Arrived]:
        """Return what a phone judged otherwise than we, newest first."""
        query = self._rows(organisation).where(_table.c.differs != "").order_by(_table.c.record.desc())
        with self._database.read() as connection:
            return [_shape(row) for row in connection.execute(query.limit(limit))]

    def last_of_each(self, organisation: int) -> dict[int, Arrived]:
        """Return person -> the last parcel of theirs."""
        newest = (
            select(func.max(_table.c.record))
            .where(_table.c.organisation == organisation)
            .group_by(_table.c.person)
        )
        query = self._rows(organisation).where(_table.c.record.in_(newest))
        with self._database.read() as connection:
            return {row.person: _shape(row) for row in connection.execute(query)}

    def _rows(self, organisation: int):
        same = (_record.c.organisation == _table.c.organisation) & (_record.c.id == _table.c.record)
        query = select(_table, _record.c.number, _record.c.kind, _record.c.job_id).join(_record, same)
        return query.where(_table.c.organisation == organisation)


def _shape(row: Row) -> Arrived:
    return Arrived(**{name: getattr(row, name) for name in Arrived.__dataclass_fields__})
