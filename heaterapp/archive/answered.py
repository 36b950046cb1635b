"""The one answer that a submission gets, at first and at every repetition."""

from typing import Any

from sqlalchemy import Connection, bindparam, select

from heaterapp.archive import tables
from heaterapp.archive.shapes import Issued

_record = tables.record
_pending = tables.pending
_keys = tables.submission
# Asked with every submission: built once.
_by_key = (
    select(_record, _pending.c.record.label("unfinished"))
    .join(_keys, (_keys.c.organisation == _record.c.organisation) & (_keys.c.record == _record.c.id))
    .outerjoin(_pending, _pending.c.record == _record.c.id)
    .where(_keys.c.organisation == bindparam("firm"), _keys.c.key == bindparam("asked"))
)


def issued_by_key(connection: Connection, organisation: int, key: str) -> Issued | None:
    row = connection.execute(_by_key, {"firm": organisation, "asked": key}).first()
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
