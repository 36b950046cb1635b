"""One job's rows of the desk in a caller's transaction: read, checked, changed, its dates worked out."""

from __future__ import annotations

import json
from collections.abc import Mapping
from datetime import date, timedelta
from typing import Any

from sqlalchemy import ColumnElement, Connection, FromClause, Row, and_, func, insert, or_, select, update

from heaterapp.archive import checking, desk_line, office_tables, tables
from heaterapp.archive.canonical import canonical
from heaterapp.archive.desk_shapes import OPEN_RESULTS, PERMIT_DAYS, Change, Clash
from heaterapp.archive.errors import Erased, Invalid, NotFound

_line, _desk, _inspection = office_tables.desk_line, office_tables.desk, office_tables.inspection
_both = (
    select(
        _line,
        func.coalesce(_desk.c.facts, "{}").label("facts"),
        func.coalesce(_desk.c.changes, "[]").label("changes"),
        func.coalesce(_desk.c.revision, 1).label("revision"),
    )
    .outerjoin(_desk, and_(_desk.c.organisation == _line.c.organisation, _desk.c.job_id == _line.c.job_id))
    .with_for_update(of=_line)
)
DATES = (
    "present_owner_since", "planned_on", "label_used_on", "label_reported_on", "permit_issued_on",
    "permit_expires_on",
)  # fmt: skip
LONGEST = {
    "contact_name": 200, "contact_phone": 60, "contact_email": 200, "access_note": 500, "planned_on": 10,
    "parcel_no": 60, "job_value_usd": 20, "workers_compensation": 200, "contractor_class": 60,
    "label_no": 60, "label_used_on": 10, "label_licence": 60, "label_reported_on": 10, "flood_related": 3,
    "owner_does_work": 3,
    "more_than_one_heater": 3, "size_changes": 3, "nature_of_work": 200, "building_use": 200,
    "present_owner": 200, "present_owner_phone": 60, "present_owner_since": 10,
    "permit_status": 20, "permit_number": 60, "permit_issued_on": 10, "permit_expires_on": 10,
}  # fmt: skip
"""Fact -> the most characters of it. `permit_expires_on` stands there only where it was typed."""
YES_NO = ("flood_related", "owner_does_work", "more_than_one_heater", "size_changes")
MOST_CHANGES = 100


def checked_facts(given: Mapping[str, Any]) -> dict[str, str]:
    """Return facts as they are kept, one line each. Raises Invalid, naming the fact."""
    kept = {}
    for name, said in given.items():
        if name not in LONGEST:
            raise Invalid(str(name)[:60], "a fact that the desk keeps")
        kept[name] = checking.line(name, "" if said is None else said, LONGEST[name])
        if name in DATES:
            kept[name] = checking.iso_date(name, kept[name])
        if name in YES_NO and kept[name] not in ("", "yes", "no"):
            raise Invalid(name, "yes or no")
    return kept


def row_of(connection: Connection, organisation: int, job_id: str) -> Row:
    """Return a job's line with the desk's own row, empty where there is none. Raises NotFound, Erased.

    The line is locked where the database locks rows.
    """
    try:
        kept = checking.job_id(job_id)
    except Invalid:
        raise NotFound("No such job.") from None
    row = connection.execute(
        _both.where(_line.c.organisation == organisation, _line.c.job_id == kept)
    ).first()
    if row is None:
        raise NotFound("No such job.")
    if row.state == "erased":
        raise Erased("The job was erased for privacy.")
    return row


def changes_of(row: Row) -> list[Change]:
    """Return the savings that the row remembers, oldest first."""
    return [
        Change(
            one["revision"], one["at"], one["by"],
            {name: (old, new) for name, (old, new) in one["names"].items()},
            one.get("reason", ""), one.get("inspection"),
        )
        for one in json.loads(row.changes)
    ]  # fmt: skip


def clashes(row: Row, facts: Mapping[str, str], revision: int | None) -> dict[str, Clash]:
    """Return what was changed since `revision` to something else than is offered now."""
    held, found = json.loads(row.facts), {}
    if revision is None:
        return {}
    for one in changes_of(row):
        if one.revision > revision:
            for name in one.names.keys() & facts.keys():
                if held.get(name, "") != facts[name]:
                    found[name] = Clash(held.get(name, ""), facts[name], one.by, one.at)
    return found


def changed(
    connection: Connection,
    row: Row,
    now: str,
    person: int,
    names: Mapping[str, tuple[Any, Any]],
    *,
    facts: Mapping[str, str] | None = None,
    answers: Mapping[str, Any] | None = None,
    reason: str = "",
    inspection: int | None = None,
) -> int:
    """Save the row with what was changed and by whom, and return its new revision.

    facts    all facts as they stand from now on, where they change
    answers  the job's, where its words are to be worked out anew
    """
    held = dict(facts) if facts is not None else json.loads(row.facts)
    new = row.revision + 1
    entry: dict[str, Any] = {"revision": new, "at": now, "by": person, "names": dict(names)}
    entry |= {"reason": reason} if reason else {}
    entry |= {"inspection": inspection} if inspection is not None else {}
    remembered = [*json.loads(row.changes), entry][-MOST_CHANGES:]
    own = {"organisation": row.organisation, "job_id": row.job_id}
    kept = {"facts": desk_line.facts_text(held), "changes": canonical(remembered)}
    kept |= {"revision": new, "updated_at": now}
    this = (_desk.c.organisation == row.organisation, _desk.c.job_id == row.job_id)
    if not connection.execute(update(_desk).where(*this).values(**kept)).rowcount:
        connection.execute(insert(_desk).values(**own, **kept))
    line = _dates(connection, row, held, answers)
    line |= desk_line.said_of(answers, held) if answers is not None else {}
    this = (_line.c.organisation == row.organisation, _line.c.job_id == row.job_id)
    connection.execute(update(_line).where(*this).values(**line))
    return new


def _dates(
    connection: Connection, row: Row, facts: Mapping[str, str], answers: Mapping[str, Any] | None
) -> dict[str, str | None]:
    visits = inspections_of(connection, row.organisation, row.job_id)
    seen = [one for one in visits if one.result != "cancelled"]
    last = max((one.result_on for one in seen if one.result_on), default=None)
    passed = [
        one.result_on
        for one in seen
        if one.result == "passed" and json.loads(one.facts).get("final") == "yes"
    ]
    final_on = max(passed, default=None)
    issued = facts.get("permit_issued_on") or None
    if answers is None:
        job = tables.job
        this = (job.c.organisation == row.organisation, job.c.id == row.job_id)
        answers = json.loads(connection.execute(select(job.c.answers).where(*this)).scalar_one())
    return {
        "permit_issued_on": issued,
        # Once final it is watched no more.
        "permit_expires_on": None if final_on else facts.get("permit_expires_on") or expiry(issued, last),
        "final_on": final_on,
        "stage": _stage([one.result for one in seen], final_on) or desk_line.permit_stage(answers, facts),
    }


def expiry(issued_on: str | None, inspected_on: str | None) -> str | None:
    """Return the day a permit lapses by itself: 180 days after issue or the last inspection.

    >>> expiry("2026-06-01", None), expiry("2026-06-01", "2026-07-01"), expiry(None, "2026-07-01")
    ('2026-11-28', '2026-12-28', None)
    """
    if not issued_on:
        return None
    last = date.fromisoformat(max(issued_on, inspected_on or issued_on))
    try:
        return (last + timedelta(days=PERMIT_DAYS)).isoformat()
    except OverflowError:
        return last.isoformat()


def _stage(results: list[str], final_on: str | None) -> str:
    if final_on:
        return "final"
    if "booked" in results:
        return "booked"
    if results and results[-1] in OPEN_RESULTS:
        return "failed"
    return ""


def was_before(earlier: FromClause) -> ColumnElement[bool]:
    """The condition that an inspection's row, under another name, had its result before this one's."""
    same_day = and_(earlier.c.result_on == _inspection.c.result_on, earlier.c.id < _inspection.c.id)
    return or_(earlier.c.result_on < _inspection.c.result_on, same_day)


def inspections_of(connection: Connection, organisation: int, job_id: str) -> list[Row]:
    """Return the rows of a job's inspections by the day of each: of its result, else the one booked."""
    of_job = (_inspection.c.organisation == organisation, _inspection.c.job_id == job_id)
    day = func.coalesce(_inspection.c.result_on, _inspection.c.booked_for)
    return list(connection.execute(select(_inspection).where(*of_job).order_by(day, _inspection.c.id)))
