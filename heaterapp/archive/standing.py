"""What became of a record, as conditions on its row that a search can carry into the database."""

from functools import cache

from sqlalchemy import ColumnElement, exists, not_, select

from heaterapp.archive import office_tables, tables

_record = tables.record


@cache
def is_replaced() -> ColumnElement:
    """The condition, on a record's row, that something replaces it: what `read_hits` names, as yes or no.

    That is any later paper of its job that is made; the first of them is the one that replaced it.
    """
    later, waits = tables.record.alias("later_word"), tables.pending.alias("later_waits")
    pressed = not_(exists().where(waits.c.organisation == later.c.organisation, waits.c.record == later.c.id))
    same_job = (later.c.organisation == _record.c.organisation, later.c.job_id == _record.c.job_id)
    # Reckoned with, so that no planner walks every later record of the firm instead of the job's few.
    return select(later.c.id).where(*same_job, later.c.id + 0 > _record.c.id, pressed).exists()


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
