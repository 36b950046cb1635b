"""Jobs being worked on: answers that may change until they are issued."""

import json
from collections.abc import Mapping
from typing import Any
from uuid import uuid4

from sqlalchemy import Connection, RowMapping, bindparam, delete, insert, select, tuple_, update

from heaterapp.archive import checking, tables
from heaterapp.archive.canonical import canonical
from heaterapp.archive.database import Database
from heaterapp.archive.errors import AnswerConflict, Invalid, JobChanged, JobIssued, NotFound
from heaterapp.archive.people import read_person
from heaterapp.archive.shapes import Arrival, Job

LARGEST_ANSWERS = 1_000_000
LARGEST_SIGNATURE = 500_000
LONGEST_KEY = 100
_table = tables.job
# Asked with every page: built once.
_one_row = (
    select(_table)
    .where(_table.c.organisation == bindparam("firm"), _table.c.id == bindparam("job"))
    .with_for_update()
)


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
        kept_id = checking.job_id(job_id) if job_id is not None else str(uuid4())
        first = {key: value for key, value in (answers or {}).items() if value is not None}
        text = _checked(first)
        now = self._database.now()
        with self._database.write() as connection:
            known = _row(connection, organisation, kept_id)
            if known is not None:
                return _shape(known)
            if installer is not None:
                read_person(connection, organisation, installer)
            connection.execute(
                insert(_table).values(
                    organisation=organisation,
                    id=kept_id,
                    installer=installer,
                    answers=text,
                    answer_revisions=canonical(dict.fromkeys(first, 1)),
                    state="draft",
                    revision=1,
                    created_at=now,
                    updated_at=now,
                )
            )
            return read_job(connection, organisation, kept_id)

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
            row = _existing(connection, organisation, job_id)
            if row["state"] != "draft":
                raise JobIssued("This job has been issued. Reopen it to correct it.")
            answers = json.loads(row["answers"])
            revisions = json.loads(row["answer_revisions"])
            _checked(changes)
            changed = {key: value for key, value in changes.items() if not _same(answers.get(key), value)}
            _refuse_conflicts(answers, changed, revisions, revision, row["revision"])
            if not changed:
                return row["revision"]
            new = row["revision"] + 1
            merged = {key: value for key, value in {**answers, **changed}.items() if value is not None}
            self._update(
                connection,
                row,
                answers=_checked(merged),
                answer_revisions=canonical({**revisions, **dict.fromkeys(changed, new)}),
                revision=new,
            )
            return new

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
        text = None if signature is None else _checked(signature, "signature", LARGEST_SIGNATURE)
        with self._database.write() as connection:
            row = _existing(connection, organisation, job_id)
            if row["state"] != "draft":
                raise JobIssued("This job has been issued. Reopen it to correct it.")
            if revision is not None and revision != row["revision"]:
                raise JobChanged(revision, row["revision"])
            signed = row["revision"] if text is not None else None
            self._update(connection, row, signature=text, signature_revision=signed)
            return read_job(connection, organisation, row["id"])

    def assign(self, organisation: int, job_id: str, installer: int | None) -> Job:
        """Give the job to an installer of the organisation, or to nobody."""
        with self._database.write() as connection:
            row = _existing(connection, organisation, job_id)
            if installer is not None:
                read_person(connection, organisation, installer)
            self._update(connection, row, installer=installer)
            return read_job(connection, organisation, row["id"])

    def reopen(self, organisation: int, job_id: str) -> Job:
        """Make an issued job a draft again for a correction; what was issued stays as it is.

        The signature goes: a correction is signed anew. The revision moves on, so that a
        key made of it names the second visit and not the first one's paper.
        """
        with self._database.write() as connection:
            row = _existing(connection, organisation, job_id)
            if row["state"] == "issued":
                gone = {"signature": None, "signature_revision": None}
                self._update(connection, row, state="draft", revision=row["revision"] + 1, **gone)
            return read_job(connection, organisation, row["id"])

    def discard(self, organisation: int, job_id: str) -> None:
        """Delete a draft. Raises JobIssued when anything was ever issued for it."""
        with self._database.write() as connection:
            row = _existing(connection, organisation, job_id)
            record = tables.record
            issued = select(record.c.id).where(
                record.c.organisation == organisation, record.c.job_id == row["id"]
            )
            if connection.execute(issued.limit(1)).first():
                raise JobIssued("Something was issued for this job; it stays.")
            connection.execute(delete(_table).where(*_is(organisation, row["id"])))

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
        if state is not None:
            where.append(_table.c.state == state)
        if after is not None:
            where.append(tuple_(_table.c.updated_at, _table.c.id) < (after.updated_at, after.id))
        query = select(_table).where(*where).order_by(_table.c.updated_at.desc(), _table.c.id.desc())
        with self._database.read() as connection:
            rows = connection.execute(query.limit(max(1, min(limit, 500)))).mappings()
            return [_shape(row) for row in rows]

    def _update(self, connection: Connection, row: RowMapping, **values: Any) -> None:
        changed = update(_table).where(*_is(row["organisation"], row["id"]))
        connection.execute(changed.values(updated_at=self._database.now(), **values))


def read_job(connection: Connection, organisation: int, job_id: str) -> Job:
    return _shape(_existing(connection, organisation, job_id))


def keep_arrived(
    connection: Connection, now: str, organisation: int, job_id: str, installer: int, arrival: Arrival
) -> None:
    """Make or save a job as a phone sent it, signed. Raises JobIssued, JobChanged, Invalid."""
    row = _row(connection, organisation, checking.job_id(job_id))
    if arrival.revision != (row["revision"] if row else 0):
        raise JobChanged(arrival.revision, row["revision"] if row else 0)
    if row is not None and row["state"] != "draft":
        raise JobIssued("This job has been issued. Reopen it to correct it.")
    held = json.loads(row["answers"]) if row else {}
    changed = {key: value for key, value in arrival.changes.items() if not _same(held.get(key), value)}
    new = arrival.revision + 1 if changed or row is None else arrival.revision
    revisions = {**(json.loads(row["answer_revisions"]) if row else {}), **dict.fromkeys(changed, new)}
    values = {
        "answers": _checked({k: v for k, v in {**held, **changed}.items() if v is not None}),
        "answer_revisions": canonical(revisions),
        "signature": _checked(arrival.signature, "signature", LARGEST_SIGNATURE),
        "signature_revision": new,
        "revision": new,
        "updated_at": now,
    }
    own = {"organisation": organisation, "id": checking.job_id(job_id)}
    if row is None:
        first = {"installer": installer, "state": "draft", "created_at": now}
        connection.execute(insert(_table).values(**own, **first, **values))
    else:
        connection.execute(update(_table).where(*_is(organisation, own["id"])).values(**values))


def _existing(connection: Connection, organisation: int, job_id: str) -> RowMapping:
    try:
        row = _row(connection, organisation, checking.job_id(job_id))
    except Invalid:
        row = None
    if row is None:
        raise NotFound("No such job.")
    return row


def _row(connection: Connection, organisation: int, job_id: str) -> RowMapping | None:
    # The row is locked where the database locks rows; SQLite has locked the whole file by now.
    return connection.execute(_one_row, {"firm": organisation, "job": job_id}).mappings().first()


def _is(organisation: int, job_id: str) -> tuple:
    return _table.c.organisation == organisation, _table.c.id == job_id


def _refuse_conflicts(
    answers: dict, changed: dict, revisions: dict[str, int], revision: int | None, stored: int
) -> None:
    if revision is None:
        return
    conflicts = {
        key: (answers.get(key), value) for key, value in changed.items() if revisions.get(key, 0) > revision
    }
    if conflicts:
        raise AnswerConflict(conflicts, stored)


def _same(stored: Any, offered: Any) -> bool:
    return canonical(stored) == canonical(offered)


def _checked(values: Mapping[str, Any], field: str = "answers", largest: int = LARGEST_ANSWERS) -> str:
    if not isinstance(values, Mapping) or not all(
        isinstance(key, str) and 0 < len(key) <= LONGEST_KEY for key in values
    ):
        raise Invalid(field, f"names of 1 to {LONGEST_KEY} characters, each with a value")
    try:
        text = canonical(dict(values))
    except (TypeError, ValueError, RecursionError):
        raise Invalid(field, "values that JSON can hold") from None
    if len(text) > largest:
        raise Invalid(field, f"at most {largest} characters in all")
    return text


def _shape(row: RowMapping) -> Job:
    return Job(
        id=row["id"],
        organisation=row["organisation"],
        installer=row["installer"],
        answers=json.loads(row["answers"]),
        signature=json.loads(row["signature"]) if row["signature"] is not None else None,
        signature_revision=row["signature_revision"],
        state=row["state"],
        revision=row["revision"],
        created_at=row["created_at"],
        updated_at=row["updated_at"],
    )
