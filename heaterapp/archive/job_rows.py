"""One job's row in a caller's transaction: read, merged, given, opened again, arrived from a phone."""

import json
from collections.abc import Mapping
from typing import Any
from uuid import uuid4

from sqlalchemy import Connection, RowMapping, bindparam, insert, select, update

from heaterapp.archive import checking, desk_line, tables
from heaterapp.archive.canonical import canonical
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


def make(
    connection: Connection,
    now: str,
    organisation: int,
    installer: int | None,
    answers: Mapping[str, Any],
    job_id: str | None,
) -> Job:
    """Do what `Jobs.create` says, in the caller's transaction."""
    kept_id = checking.job_id(job_id) if job_id is not None else str(uuid4())
    first = {key: value for key, value in answers.items() if value is not None}
    text = checked(first)
    known = row_of(connection, organisation, kept_id)
    if known is not None:
        return shape(known)
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
    desk_line.begin(connection, organisation, kept_id, installer, first, now)
    return read_job(connection, organisation, kept_id)


def merge(
    connection: Connection,
    now: str,
    organisation: int,
    job_id: str,
    changes: Mapping[str, Any],
    revision: int | None,
) -> int:
    """Do what `Jobs.save_answers` says, in the caller's transaction."""
    row = existing(connection, organisation, job_id)
    if row["state"] != "draft":
        raise JobIssued("This job has been issued. Reopen it to correct it.")
    answers = json.loads(row["answers"])
    revisions = json.loads(row["answer_revisions"])
    checked(changes)
    changed = {key: value for key, value in changes.items() if not _same(answers.get(key), value)}
    _refuse_conflicts(answers, changed, revisions, revision, row["revision"])
    if not changed:
        return row["revision"]
    new = row["revision"] + 1
    merged = {key: value for key, value in {**answers, **changed}.items() if value is not None}
    values = {"answers": checked(merged), "revision": new}
    values["answer_revisions"] = canonical({**revisions, **dict.fromkeys(changed, new)})
    change(connection, now, row, **values)
    if not desk_line.READ.isdisjoint(changed):
        desk_line.keep(connection, organisation, row["id"], answers=merged)
    return new


def give(connection: Connection, now: str, organisation: int, job_id: str, installer: int | None) -> Job:
    """Do what `Jobs.assign` says, in the caller's transaction."""
    row = existing(connection, organisation, job_id)
    if installer is not None:
        read_person(connection, organisation, installer)
    change(connection, now, row, installer=installer)
    desk_line.keep(connection, organisation, row["id"], installer=installer)
    return read_job(connection, organisation, row["id"])


def open_again(connection: Connection, now: str, organisation: int, job_id: str) -> Job:
    """Do what `Jobs.reopen` says, in the caller's transaction."""
    row = existing(connection, organisation, job_id)
    if row["state"] == "issued":
        gone = {"signature": None, "signature_revision": None}
        change(connection, now, row, state="draft", revision=row["revision"] + 1, **gone)
        desk_line.keep(connection, organisation, row["id"], state="draft")
    return read_job(connection, organisation, row["id"])


def change(connection: Connection, now: str, row: RowMapping, **values: Any) -> None:
    changed = update(_table).where(*is_job(row["organisation"], row["id"]))
    connection.execute(changed.values(updated_at=now, **values))


def read_job(connection: Connection, organisation: int, job_id: str) -> Job:
    return shape(existing(connection, organisation, job_id))


def keep_arrived(
    connection: Connection, now: str, organisation: int, job_id: str, installer: int, arrival: Arrival
) -> None:
    """Make or save a job as a phone sent it, signed. Raises JobIssued, JobChanged, Invalid."""
    row = row_of(connection, organisation, checking.job_id(job_id))
    if arrival.revision != (row["revision"] if row else 0):
        raise JobChanged(arrival.revision, row["revision"] if row else 0)
    if row is not None and row["state"] != "draft":
        raise JobIssued("This job has been issued. Reopen it to correct it.")
    held = json.loads(row["answers"]) if row else {}
    changed = {key: value for key, value in arrival.changes.items() if not _same(held.get(key), value)}
    new = arrival.revision + 1 if changed or row is None else arrival.revision
    revisions = {**(json.loads(row["answer_revisions"]) if row else {}), **dict.fromkeys(changed, new)}
    merged = {k: v for k, v in {**held, **changed}.items() if v is not None}
    values = {
        "answers": checked(merged),
        "answer_revisions": canonical(revisions),
        "signature": checked(arrival.signature, "signature", LARGEST_SIGNATURE),
        "signature_revision": new,
        "revision": new,
        "updated_at": now,
    }
    own = {"organisation": organisation, "id": checking.job_id(job_id)}
    if row is None:
        first = {"installer": installer, "state": "draft", "created_at": now}
        connection.execute(insert(_table).values(**own, **first, **values))
        desk_line.begin(connection, organisation, own["id"], installer, merged, now)
    else:
        connection.execute(update(_table).where(*is_job(organisation, own["id"])).values(**values))
        desk_line.keep(connection, organisation, own["id"], answers=merged)


def existing(connection: Connection, organisation: int, job_id: str) -> RowMapping:
    try:
        row = row_of(connection, organisation, checking.job_id(job_id))
    except Invalid:
        row = None
    if row is None:
        raise NotFound("No such job.")
    return row


def row_of(connection: Connection, organisation: int, job_id: str) -> RowMapping | None:
    # The row is locked where the database locks rows; SQLite has locked the whole file by now.
    return connection.execute(_one_row, {"firm": organisation, "job": job_id}).mappings().first()


def is_job(organisation: int, job_id: str) -> tuple:
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


def checked(values: Mapping[str, Any], field: str = "answers", largest: int = LARGEST_ANSWERS) -> str:
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


def shape(row: RowMapping) -> Job:
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
