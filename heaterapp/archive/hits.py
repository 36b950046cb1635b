"""A record as one line: what it is known by, and what became of it."""

import json
from collections.abc import Sequence

from sqlalchemy import ColumnElement, Connection, Row, func, select

from heaterapp.archive import office_tables, tables
from heaterapp.archive.shapes import KINDS, Facts, Hit

_record = tables.record
_pending = tables.pending
_finding = tables.finding
_void = office_tables.void
_later = tables.record.alias("later")
_other = tables.record.alias("other")


def read_hits(connection: Connection, organisation: int, ids: Sequence[int]) -> list[Hit]:
    """Return the listed records of the organisation, newest first; others are left out.

    A paper is replaced by the next of its kind and no less by a later one of another
    kind of the same job, list, certificate or report: the last word on a heater counts.
    """
    largest = func.max if connection.dialect.name == "sqlite" else func.greatest
    newest_other = largest(*(func.coalesce(_newest(organisation, kind), 0) for kind in KINDS))
    query = (
        select(
            _record,
            _finding.c.facts,
            _finding.c.installer,
            _pending.c.record.label("unfinished"),
            _void.c.voided_at,
            _void.c.reason.label("void_reason"),
            func.coalesce(_later.c.id, _other.c.id).label("later_id"),
            func.coalesce(_later.c.number, _other.c.number).label("later_number"),
        )
        .outerjoin(_finding, _finding.c.record == _record.c.id)
        .outerjoin(_pending, (_pending.c.organisation == organisation) & (_pending.c.record == _record.c.id))
        .outerjoin(_void, (_void.c.organisation == organisation) & (_void.c.record == _record.c.id))
        .outerjoin(_later, (_later.c.organisation == organisation) & (_later.c.supersedes == _record.c.id))
        .outerjoin(_other, _other.c.id == newest_other)
        .where(_record.c.organisation == organisation, _record.c.id.in_(ids))
        .order_by(_record.c.id.desc())
    )
    return [_hit(row) for row in connection.execute(query)]


def _newest(organisation: int, kind: str) -> ColumnElement:
    """The newest later record of one other kind of the job; a kind at a time the index answers at once."""
    others = tables.record.alias(f"any_{kind}")
    return (
        # Reckoned with, so that no planner walks every later record of the firm instead of the job's few.
        select(func.max(others.c.id + 0))
        .where(
            others.c.organisation == organisation, others.c.job_id == _record.c.job_id,
            others.c.kind == kind, others.c.id + 0 > _record.c.id, _record.c.kind != kind,
        )
        .correlate(_record)
        .scalar_subquery()
    )  # fmt: skip


def _hit(row: Row) -> Hit:
    return Hit(
        record=row.id,
        number=row.number,
        kind=row.kind,
        job_id=row.job_id,
        revision=row.revision,
        issued_at=row.issued_at,
        facts=Facts(**json.loads(row.facts)) if row.facts else Facts(),
        installer=row.installer,
        finished=row.unfinished is None,
        superseded_by=row.later_id,
        superseded_by_number=row.later_number,
        voided_at=row.voided_at,
        void_reason=row.void_reason,
    )
