"""The one answer that a submission gets, at first and at every repetition."""

from typing import Any

from sqlalchemy import Connection, select

from heaterapp.archive import tables
from heaterapp.archive.shapes import Issued

_record = tables.record
_pending = tables.pending


def issued_by_key(connection: Connection, organisation: int, key: str) -> Issued | None:
    key_table = tables.submission
    row = connection.execute(
        select(_record, _pending.c.record.label("unfinished"))
        .join(
            key_table,
            (key_table.c.organisation == _record.c.organisation) & (key_table.c.record == _record.c.id),
        )
        .outerjoin(_pending, _pending.c.record == _record.c.id)
        .where(key_table.c.organisation == organisation, key_table.c.key == key)
    ).first()
    return issued(row, repeated=True, finished=row.unfinished is None) if row else None


def issued(row: Any, repeated: bool, finished: bool) -> Issued:
    return Issued(
        record=row.id,
        organisation=row.organisation,
        number=row.number,
        kind=row.kind,
        job_id=row.job_id,
        revision=row.revision,
        issued_at=row.issued_at,
        check_code=row.check_code,
        finished=finished,
        repeated=repeated,
    )
