"""Jobs being worked on: answers that may change until they are issued."""

from collections.abc import Mapping
from typing import Any

from sqlalchemy import select, tuple_

from heaterapp.archive import tables
from heaterapp.archive.database import Database
from heaterapp.archive.errors import JobChanged, JobIssued
from heaterapp.archive.job_rows import (
    LARGEST_SIGNATURE,
    change,
    checked,
    existing,
    give,
    make,
    merge,
    open_again,
    read_job,
    shape,
)
from heaterapp.archive.shapes import Job

_table = tables.job


class Jobs:
    """The working rows. A job is read and written whole within its organisation."""

    def __init__(self, database: Database):
        self._database = database

    def create(
        self,
        organisation: int,
        installer: int | None = None,
        answers: Mapping[str, Any] | None = None,
        job_id: str | None = None,
    ) -> Job:
        """Make a job, or return the one that has this id already, unchanged."""
        now = self._database.now()
        with self._database.write() as connection:
            return make(connection, now, organisation, installer, answers or {}, job_id)

    def get(self, organisation: int, job_id: str) -> Job:
        with self._database.read() as connection:
            return read_job(connection, organisation, job_id)

    def save_answers(
        self, organisation: int, job_id: str, changes: Mapping[str, Any], revision: int | None = None
    ) -> int:
        """Merge `changes` into the answers and return the job's new revision.

        Keys not named stay; None removes a key. With `revision` (the one these
        changes were made on), a key that somebody else has set to another value since
        raises AnswerConflict and nothing is saved. Saving what is there already
        changes nothing, not even the revision. Raises JobIssued, Invalid, NotFound.
        """
        with self._database.write() as connection:
            return merge(connection, self._database.now(), organisation, job_id, changes, revision)

    def save_signature(
        self,
        organisation: int,
        job_id: str,
        signature: Mapping[str, Any] | None,
        revision: int | None = None,
    ) -> Job:
        """Keep the signature, and of which revision of the answers it is.

        With `revision` (the one the person had before their eyes), answers that have
        changed since raise JobChanged. Raises JobIssued, Invalid, NotFound.
        """
        text = None if signature is None else checked(signature, "signature", LARGEST_SIGNATURE)
        with self._database.write() as connection:
            row = existing(connection, organisation, job_id)
            if row["state"] != "draft":
                raise JobIssued("This job has been issued. Reopen it to correct it.")
            if revision is not None and revision != row["revision"]:
                raise JobChanged(revision, row["revision"])
            signed = row["revision"] if text is not None else None
            change(connection, self._database.now(), row, signature=text, signature_revision=signed)
            return read_job(connection, organisation, row["id"])

    def assign(self, organisation: int, job_id: str, installer: int | None) -> Job:
        """Give the job to an installer of the organisation, or to nobody."""
        with self._database.write() as connection:
            return give(connection, self._database.now(), organisation, job_id, installer)

    def reopen(self, organisation: int, job_id: str) -> Job:
        """Make an issued job a draft again for a correction; what was issued stays as it is.

        The signature goes: a correction is signed anew. The revision moves on, so that a
        key made of it names the second visit and not the first one's paper.
        """
        with self._database.write() as connection:
            return open_again(connection, self._database.now(), organisation, job_id)

    def jobs_for(
        self,
        organisation: int,
        person: int,
        state: str | None = None,
        after: Job | None = None,
        limit: int = 50,
    ) -> list[Job]:
        """Return the jobs of one installer, newest change first, following `after`."""
        return self._list(
            [_table.c.organisation == organisation, _table.c.installer == person], state, after, limit
        )

    def all(
        self, organisation: int, state: str | None = None, after: Job | None = None, limit: int = 50
    ) -> list[Job]:
        """Return the organisation's jobs, newest change first, following `after`."""
        return self._list([_table.c.organisation == organisation], state, after, limit)

    def _list(self, where: list, state: str | None, after: Job | None, limit: int) -> list[Job]:
        where.append(_table.c.state == state if state is not None else _table.c.state != "erased")
        if after is not None:
            where.append(tuple_(_table.c.updated_at, _table.c.id) < (after.updated_at, after.id))
        query = select(_table).where(*where).order_by(_table.c.updated_at.desc(), _table.c.id.desc())
        with self._database.read() as connection:
            rows = connection.execute(query.limit(max(1, min(limit, 500)))).mappings()
            return [shape(row) for row in rows]
