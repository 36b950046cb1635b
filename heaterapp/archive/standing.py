"""What became of a record, as conditions on its row that a search can carry into the database."""

from functools import cache

from sqlalchemy import ColumnElement, and_, exists, not_, or_

from heaterapp.archive import office_tables, tables
from heaterapp.archive.shapes import KINDS

_record = tables.record


@cache
def is_replaced() -> ColumnElement:
    """The condition, on a record's row, that something replaces it: what `read_hits` names, as yes or no."""
    next_one, later = tables.record.alias("next_one"), tables.record.alias("later_word")
    superseded = exists().where(
        next_one.c.organisation == _record.c.organisation, next_one.c.supersedes == _record.c.id
    )
    same_job = (
        later.c.organisation == _record.c.organisation, later.c.job_id == _record.c.job_id,
        later.c.id + 0 > _record.c.id,
    )  # fmt: skip
    # A kind at a time, which the index answers at once.
    overtaken = (
        and_(_record.c.kind != kind, exists().where(*same_job, later.c.kind == kind)) for kind in KINDS
    )
    return or_(superseded, *overtaken)


@cache
def is_void() -> ColumnElement:
    """The condition, on a record's row, that it was declared void."""
    void = office_tables.void
    return exists().where(void.c.organisation == _record.c.organisation, void.c.record == _record.c.id)


@cache
def is_finished() -> ColumnElement:
    """The condition, on a record's row, that its papers are stored."""
    waits = (tables.pending.c.organisation == _record.c.organisation, tables.pending.c.record == _record.c.id)
    return not_(exists().where(*waits))
