"""What waits for a signature and for an inspection, by one rule each for every list and count.

A draft waits from the day of its work, or the day it was planned for; one that was opened again waits
at once, and one whose correction list was signed once an answer is changed: until then it has things to
fix, and a second visit is due. A job whose only paper is void waits for a new one. Whose job it is makes
no difference.

For an inspection waits what has a permit or an inspection and no final one: a job that a paper was issued
for, also where it is open again and waits for a signature beside; and whatever was inspected or is booked.
"""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass

from sqlalchemy import ColumnElement, and_, exists, not_, or_, select

from heaterapp.archive import faults, job_rows, log, office_tables, tables
from heaterapp.archive.correcting import OPENED, read_opened
from heaterapp.archive.database import Database
from heaterapp.archive.desk_rows import changed, row_of
from heaterapp.archive.errors import Invalid
from heaterapp.archive.people import read_person
from heaterapp.archive.shapes import Job

_line, _record, _void = office_tables.desk_line, tables.record, office_tables.void


@dataclass(frozen=True)
class Since:
    """Since when a job waits."""

    at: str
    """The UTC stamp of what it waits since, where nothing of its work or plan is meant."""
    reason: str
    """Why it was opened again; empty where nobody said."""


class Waiting:
    """Reads what waits, and opens again a job whose only paper is void."""

    def __init__(self, database: Database):
        self._database = database

    def only_void(self, organisation: int, job_ids: Sequence[str]) -> set[str]:
        """Return those of these jobs whose only paper is void and that nobody has opened again."""
        own = (_line.c.organisation == organisation, _line.c.job_id.in_(job_ids))
        with self._database.read() as connection:
            found = connection.execute(select(_line.c.job_id).where(*own, is_only_void(organisation)))
            return set(found.scalars())

    def to_fix(self, organisation: int, job_ids: Sequence[str]) -> set[str]:
        """Return those of these jobs whose signed correction list is the last word on them."""
        own = (_line.c.organisation == organisation, _line.c.job_id.in_(job_ids))
        with self._database.read() as connection:
            found = connection.execute(select(_line.c.job_id).where(*own, is_to_fix(organisation)))
            return set(found.scalars())

    def since(self, organisation: int, job_ids: Sequence[str]) -> dict[str, Since]:
        """Return since when each job that had a paper waits; those without one are left out.

        That is: opened again for a second visit or a correction, declared void, else last issued.
        """
        found = {}
        with self._database.read() as connection:
            for job_id in job_ids:
                opened = read_opened(connection, organisation, job_id)
                of_job = (_record.c.organisation == organisation, _record.c.job_id == job_id)
                query = select(_record.c.issued_at, _void.c.voided_at).outerjoin(_void, _of_record())
                newest = connection.execute(
                    query.where(*of_job).order_by(_record.c.id.desc()).limit(1)
                ).first()
                if opened is not None:
                    found[job_id] = Since(opened.at, opened.reason)
                elif newest is not None:
                    found[job_id] = Since(newest.voided_at or newest.issued_at, "")
        return found

    def open_again(self, organisation: int, person: int, job_id: str) -> Job:
        """Open a job whose only paper is void, so that a new one can be signed; harmless to repeat.

        Raises NotFound, Erased, Invalid (its paper holds).
        """
        now = self._database.now()
        with self._database.write() as connection:
            log.lock(connection, organisation)
            read_person(connection, organisation, person)
            row = row_of(connection, organisation, job_id)
            if row.state == "draft":
                return job_rows.read_job(connection, organisation, row.job_id)
            this = (_line.c.organisation == organisation, _line.c.job_id == row.job_id)
            if not connection.execute(select(exists().where(*this, is_only_void(organisation)))).scalar():
                raise Invalid("job", "a job whose only paper is void")
            of_job = (_record.c.organisation == organisation, _record.c.job_id == row.job_id)
            newest = select(_record.c.id, _record.c.number).where(*of_job).order_by(_record.c.id.desc())
            paper = connection.execute(newest.limit(1)).one()
            job_rows.open_again(connection, now, organisation, row.job_id)
            faults.at("after_desk_job")
            changed(connection, row, now, person, {"state": ("issued", "draft")})
            faults.at("after_desk_row")
            why = f"{paper.number} was declared void"
            body = {"key": f"void-{paper.id}", "reason": why, "questions": [], "installer": None}
            log.append(connection, organisation, OPENED, now, person, paper.id, body)
            faults.at("after_desk_log")
            return job_rows.read_job(connection, organisation, row.job_id)


def is_only_void(organisation: int) -> ColumnElement:
    """The condition, on a desk line, that the last word on its job is a paper that is void."""
    later = _record.alias("later")
    overtaken = exists().where(
        later.c.organisation == organisation, later.c.job_id == _record.c.job_id, later.c.id > _record.c.id
    )
    # From the voids, which are few: each job is looked up once.
    jobs = (
        select(_record.c.job_id)
        .select_from(_void.join(_record, _of_record()))
        .where(_void.c.organisation == organisation, not_(overtaken))
    )
    return and_(_line.c.state == "issued", _line.c.job_id.in_(jobs))


def is_draft_waiting(organisation: int, on: str) -> ColumnElement:
    """The condition, on a desk line, that it is a draft whose day has come or that was opened again.

    on  today, ISO
    """
    waits = or_(_line.c.day <= on, _was_issued(organisation))
    return and_(_line.c.state == "draft", waits, not_(_was_listed(organisation)))


def is_to_fix(organisation: int) -> ColumnElement:
    """The condition, on a desk line, that its correction list is signed and what it names is to be fixed."""
    return and_(_line.c.state == "draft", _was_listed(organisation))


def is_unsigned(organisation: int, on: str) -> ColumnElement:
    """The condition, on a desk line, that it waits for a signature; see the module."""
    return or_(is_draft_waiting(organisation, on), is_only_void(organisation))


def is_uninspected(organisation: int) -> ColumnElement:
    """The condition, on a desk line, that it waits for an inspection; see the module."""
    stages = _line.c.stage.in_(("permit", "booked", "failed"))
    going = or_(_line.c.state == "issued", _line.c.stage != "permit", _was_issued(organisation))
    return and_(_line.c.state != "erased", stages, going)


def _was_issued(organisation: int) -> ColumnElement:
    return exists().where(
        _record.c.organisation == organisation, _record.c.job_id == _line.c.job_id,
        _record.c.kind != "correction_list",
    )  # fmt: skip


def _was_listed(organisation: int) -> ColumnElement:
    """A correction list is signed, and nobody has changed an answer since: what waits is the mending."""
    job, listed, void = tables.job, _record.alias("listed"), _void.alias("listed_void")
    signed = exists().where(
        job.c.organisation == organisation, job.c.id == _line.c.job_id,
        job.c.signature_revision == job.c.revision,
    )  # fmt: skip
    a_list = exists().where(
        listed.c.organisation == organisation, listed.c.job_id == _line.c.job_id,
        listed.c.kind == "correction_list",
        not_(exists().where(void.c.organisation == organisation, void.c.record == listed.c.id)),
    )  # fmt: skip
    # The narrow rows first: most drafts have no paper.
    return and_(a_list, signed)


def _of_record() -> ColumnElement:
    return and_(_void.c.organisation == _record.c.organisation, _void.c.record == _record.c.id)
