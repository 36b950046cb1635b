"""A record as one line: what it is known by, and what became of it."""

import json
from collections.abc import Sequence

from sqlalchemy import ColumnElement, Connection, Row, bindparam, exists, func, not_, select

from heaterapp.archive import office_tables, tables
from heaterapp.archive.errors import PapersWait
from heaterapp.archive.shapes import Facts, Hit

_record = tables.record
_pending = tables.pending
_finding = tables.finding
_void = office_tables.void
_said = office_tables.said
_later = tables.record.alias("later")
_firm = bindparam("firm")


def read_hits(connection: Connection, organisation: int, ids: Sequence[int]) -> list[Hit]:
    """Return the listed records of the organisation, newest first; others are left out.

    A paper is replaced by the next one of its job, of whatever kind, list, certificate or report:
    the last word on a heater counts. What is numbered and has no papers yet replaces nothing; made late,
    it takes its place in the line.
    """
    asked = {"firm": organisation, "ids": list(ids)}
    return [_hit(row) for row in connection.execute(_query, asked)]


def present_of_job(connection: Connection, organisation: int, job_id: str) -> Hit | None:
    """Return the job's newest finished paper where it is current, else None: no older one stands again."""
    of_job = (_record.c.organisation == organisation, _record.c.job_id == job_id)
    ids = connection.execute(select(_record.c.id).where(*of_job)).scalars().all()
    newest = next((hit for hit in read_hits(connection, organisation, ids) if hit.finished), None)
    return newest if newest is not None and newest.state == "current" else None


def replaced_at(connection: Connection, organisation: int, hit: Hit) -> str:
    """Return the stamp at which a record was first replaced by stored papers, or nothing."""
    if hit.superseded_by_number is None:
        return ""
    later = select(_record.c.id).where(
        _record.c.organisation == organisation, _record.c.job_id == hit.job_id, _record.c.id > hit.record
    )
    entry = tables.log
    stored = (entry.c.organisation == organisation, entry.c.act == "finish")
    # Reckoned with, so that no planner walks the log for these few entries.
    found = select(entry.c.at).where(*stored, entry.c.record.in_(later)).order_by(entry.c.seq + 0).limit(1)
    at: str | None = connection.execute(found).scalar()
    # One that was erased before it had papers has no such entry.
    by = select(_record.c.issued_at).where(_record.c.id == hit.superseded_by)
    return at or connection.execute(by).scalar_one()


def require_last_word(connection: Connection, hit: Hit, organisation: int) -> None:
    """Raise PapersWait where somebody signed something later that waits for its papers.

    A slip put right beside it would be numbered after it and stand in its place.
    """
    of_job = (_record.c.organisation == organisation, _record.c.job_id == hit.job_id)
    newest = select(_record.c.number).where(*of_job, _record.c.id > hit.record).order_by(_record.c.id.desc())
    number = connection.execute(newest.limit(1)).scalar()
    if number is not None:
        raise PapersWait(number)


def _next_of_job() -> ColumnElement:
    """The first later record of the job that has its papers."""
    others, waits = tables.record.alias("others"), tables.pending.alias("waits")
    pressed = not_(exists().where(waits.c.organisation == _firm, waits.c.record == others.c.id))
    return (
        # Reckoned with, so that no planner walks every later record of the firm instead of the job's few.
        select(func.min(others.c.id + 0))
        .where(
            others.c.organisation == _firm, others.c.job_id == _record.c.job_id,
            others.c.id + 0 > _record.c.id, pressed,
        )
        .correlate(_record)
        .scalar_subquery()
    )  # fmt: skip


# Asked with every page: built once, and of the columns that a line shows.
_query = (
    select(
        _record.c.id,
        _record.c.number,
        _record.c.kind,
        _record.c.job_id,
        _record.c.revision,
        _record.c.issued_at,
        _finding.c.facts,
        _finding.c.installer,
        _pending.c.record.is_(None),
        _later.c.id,
        _later.c.number,
        _void.c.voided_at,
        _said.c.body,
    )
    .outerjoin(_finding, _finding.c.record == _record.c.id)
    .outerjoin(_pending, (_pending.c.organisation == _firm) & (_pending.c.record == _record.c.id))
    .outerjoin(_void, (_void.c.organisation == _firm) & (_void.c.record == _record.c.id))
    .outerjoin(
        _said,
        (_said.c.organisation == _firm) & (_said.c.seq == _void.c.entry) & (_said.c.name == "reason"),
    )
    .outerjoin(_later, _later.c.id == _next_of_job())
    .where(_record.c.organisation == _firm, _record.c.id.in_(bindparam("ids", expanding=True)))
    .order_by(_record.c.id.desc())
)


def _hit(row: Row) -> Hit:
    record, number, kind, job, revision, issued, facts, installer, finished, by, by_number, voided, why = row
    return Hit(
        record=record,
        number=number,
        kind=kind,
        job_id=job,
        revision=revision,
        issued_at=issued,
        facts=Facts(**json.loads(facts)) if facts else Facts(),
        installer=installer,
        finished=bool(finished),
        superseded_by=by,
        superseded_by_number=by_number,
        voided_at=voided,
        void_reason=why,
        erased=facts is None,
    )
