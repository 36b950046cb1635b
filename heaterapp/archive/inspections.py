"""Inspections: booked, their results with what the inspector asked for, what was mended since."""

from __future__ import annotations

import json
from collections.abc import Mapping, Sequence
from dataclasses import replace
from datetime import date, timedelta
from typing import Any

from sqlalchemy import Connection, Row, insert, select, update

from heaterapp.archive import checking, faults, job_rows, log, office_tables, tables
from heaterapp.archive.canonical import canonical
from heaterapp.archive.correcting import OPENED, SECOND_VISIT
from heaterapp.archive.database import Database
from heaterapp.archive.desk_rows import changed, changes_of, inspections_of, row_of
from heaterapp.archive.desk_shapes import OPEN_RESULTS, RESULTS, Clash, DeskConflict, Inspection, Item
from heaterapp.archive.errors import Invalid, NotFound
from heaterapp.archive.hits import read_hits
from heaterapp.archive.inspection_items import (
    as_inspected,
    checked_items,
    items_text,
    shape_of,
)
from heaterapp.archive.people import read_person
from heaterapp.archive.shapes import Job

_table = office_tables.inspection
ACT = "inspection"
LONGEST = {"window": 60, "contact": 200, "phone": 60, "adult": 3, "note": 500}
EARLIEST_DAYS = 60
"""How many days before the one that was booked an inspector may have come."""
LONGEST_RESULT = {"inspector": 200, "said": 500, "final": 3}


class Inspections:
    """Each is written whole; the job's desk row moves on with it, so that the lists stay right."""

    def __init__(self, database: Database):
        self._database = database

    def of_job(self, organisation: int, job_id: str) -> list[Inspection]:
        """Return a job's inspections, newest first; none for an unknown job."""
        with self._database.read() as connection:
            return [shape_of(row) for row in inspections_of(connection, organisation, job_id)[::-1]]

    def get(self, organisation: int, inspection: int) -> Inspection:
        """Return one inspection. Raises NotFound."""
        with self._database.read() as connection:
            return shape_of(_existing(connection, organisation, inspection))

    def book(
        self, organisation: int, person: int, job_id: str, booked_for: str, facts: Mapping[str, Any]
    ) -> Inspection:
        """Book an inspection.

        booked_for  ISO date
        facts       `window`, `contact`, `phone`, `adult` (yes, no), `note`

        Raises NotFound; Invalid, also when one is booked for this job already.
        """
        day, kept = _day("booked_for", booked_for), checked_facts(facts, LONGEST)
        now = self._database.now()
        with self._database.write() as connection:
            log.lock(connection, organisation)
            read_person(connection, organisation, person)
            desk = row_of(connection, organisation, job_id)
            if any(one.result == "booked" for one in inspections_of(connection, organisation, desk.job_id)):
                raise Invalid("booked_for", "one inspection at a time: the one that is booked first")
            values = {
                "organisation": organisation, "job_id": desk.job_id, "booked_for": day, "result": "booked",
                "open_items": 0, "revision": 1, "facts": canonical(kept), "asked": "[]", "created_at": now,
                "created_by": person, "updated_at": now,
            }  # fmt: skip
            made = connection.execute(insert(_table).values(**values)).inserted_primary_key
            return _done(connection, desk, now, person, made[0], "booked", {"booked_for": (None, day)})

    def move(
        self,
        organisation: int,
        person: int,
        inspection: int,
        revision: int,
        booked_for: str,
        facts: Mapping[str, Any],
    ) -> Inspection:
        """Change what is booked. Raises NotFound, Invalid, DeskConflict."""
        day, kept = _day("booked_for", booked_for), checked_facts(facts, LONGEST)
        now = self._database.now()
        with self._database.write() as connection:
            desk, row = _open(connection, organisation, person, inspection, revision)
            if row.result != "booked":
                raise Invalid("booked_for", "an inspection that has no result yet")
            _write(connection, row, now, booked_for=day, facts=canonical({**json.loads(row.facts), **kept}))
            names = {"booked_for": (row.booked_for, day)}
            return _done(connection, desk, now, person, row.id, "moved", names)

    def tell(
        self,
        organisation: int,
        person: int,
        inspection: int,
        revision: int,
        result: str,
        result_on: str,
        facts: Mapping[str, Any],
        items: Sequence[Item] = (),
    ) -> Inspection:
        """Record what came of it; a passed one whose `final` is yes makes the job final that day.

        result     passed, failed, partly or cancelled
        result_on  ISO date
        facts      `inspector`, `said` (their words), `final` (yes, no)
        items      what the inspector asked for; at most 40, none when passed or cancelled

        Raises NotFound, Invalid (also for a visit before the permit or long before it was booked for),
        DeskConflict.
        """
        checking.choice("result", result, RESULTS)
        day, kept = _day("result_on", result_on), checked_facts(facts, LONGEST_RESULT)
        asked = checked_items(items)
        if asked and result not in OPEN_RESULTS:
            raise Invalid("items", "none where the inspection was passed or cancelled")
        now = self._database.now()
        with self._database.write() as connection:
            desk, row = _open(connection, organisation, person, inspection, revision)
            if row.result != "booked":
                raise Invalid("result", "an inspection that has no result yet")
            if result != "cancelled":
                _refuse_too_early(day, row, desk)
            merged = canonical({**json.loads(row.facts), **kept})
            asked = as_inspected(connection, organisation, row.job_id, asked)
            _write(connection, row, now, result=result, result_on=day, facts=merged, asked=asked)
            names = {"result": ("booked", result)}
            return _done(connection, desk, now, person, row.id, result, names)

    def take_back(
        self, organisation: int, person: int, inspection: int, revision: int, reason: str
    ) -> Inspection:
        """Take a result back that was recorded by mistake: the inspection is booked as before.

        Raises NotFound, Invalid (no reason, no result yet, another one is booked), DeskConflict.
        """
        why, now = checking.reason(reason), self._database.now()
        with self._database.write() as connection:
            desk, row = _open(connection, organisation, person, inspection, revision)
            others = inspections_of(connection, organisation, desk.job_id)
            if row.result == "booked" or any(one.result == "booked" for one in others):
                raise Invalid("result", "a recorded one, and no other inspection booked for this job")
            facts = {name: said for name, said in json.loads(row.facts).items() if name in LONGEST}
            gone = {"result": "booked", "result_on": None, "facts": canonical(facts)}
            _write(connection, row, now, asked=[], **gone)
            return _done(
                connection, desk, now, person, row.id, "taken_back", {"result": (row.result, "booked")}, why
            )

    def mend(
        self, organisation: int, person: int, inspection: int, revision: int, items: Sequence[Item]
    ) -> Inspection:
        """Keep the items as they stand now: who mends each, and when it was. Raises as `tell`.

        Whose word it is that an item is mended is kept with it: `person`, where its day is new.
        """
        asked, now = checked_items(items), self._database.now()
        with self._database.write() as connection:
            desk, row = _open(connection, organisation, person, inspection, revision)
            if row.result not in OPEN_RESULTS:
                raise Invalid("items", "an inspection that was failed or passed in part")
            before = dict(enumerate(shape_of(row).items))
            asked = [_by_whom(before.get(at), item, person) for at, item in enumerate(asked)]
            _write(connection, row, now, asked=asked)
            left = sum(item.open for item in asked)
            return _done(
                connection, desk, now, person, row.id, "items", {"open_items": (row.open_items, left)}
            )

    def second_visit(
        self, organisation: int, person: int, inspection: int, installer: int | None = None
    ) -> Job:
        """Open the job again, so that its next paper is a revision of the first; harmless to repeat.

        installer  who goes, where it is another
        """
        now = self._database.now()
        with self._database.write() as connection:
            desk, row = _open(connection, organisation, person, inspection, None)
            if row.result not in OPEN_RESULTS:
                raise Invalid("result", "an inspection that was failed or passed in part")
            job = job_rows.read_job(connection, organisation, desk.job_id)
            if installer is not None and installer != job.installer:
                job_rows.give(connection, now, organisation, job.id, installer)
            if job.state == "issued":
                _say_why(connection, now, person, row)
            job_rows.open_again(connection, now, organisation, job.id)
            names = {"state": (job.state, "draft")}
            _done(connection, desk, now, person, row.id, "second_visit", names)
            return job_rows.read_job(connection, organisation, job.id)


def _refuse_too_early(day: str, row: Row, desk: Row) -> None:
    if desk.permit_issued_on and day < desk.permit_issued_on:
        raise Invalid("result_on", f"a day not before the permit was issued, {desk.permit_issued_on}")
    first = date.fromisoformat(row.booked_for) - timedelta(days=EARLIEST_DAYS)
    if day < first.isoformat():
        said = f"a day at most {EARLIEST_DAYS} days before the one it is booked for, {row.booked_for}"
        raise Invalid("result_on", said)


def _by_whom(before: Item | None, now: Item, person: int) -> Item:
    if not now.fixed_on:
        return replace(now, fixed_by=None)
    same = before is not None and before.fixed_on == now.fixed_on
    return replace(now, fixed_by=before.fixed_by if before is not None and same else person)


def _say_why(connection: Connection, now: str, person: int, row: Row) -> None:
    """Say at the record that is to be replaced why its job is open again, as a correction does."""
    record = tables.record
    of_job = (record.c.organisation == row.organisation, record.c.job_id == row.job_id)
    ids = connection.execute(select(record.c.id).where(*of_job)).scalars().all()
    for hit in read_hits(connection, row.organisation, ids):
        if hit.state == "current":
            why = f"Second visit after the inspection of {row.result_on}"
            body = {"key": f"{SECOND_VISIT}{row.id}", "reason": why, "questions": [], "installer": None}
            log.append(connection, row.organisation, OPENED, now, person, hit.record, body)
            return


def _existing(connection: Connection, organisation: int, inspection: int) -> Row:
    this = (_table.c.organisation == organisation, _table.c.id == inspection)
    row = connection.execute(select(_table).where(*this).with_for_update()).first()
    if row is None:
        raise NotFound("No such inspection.")
    return row


def _open(
    connection: Connection, organisation: int, person: int, inspection: int, revision: int | None
) -> tuple[Row, Row]:
    log.lock(connection, organisation)
    read_person(connection, organisation, person)
    row = _existing(connection, organisation, inspection)
    desk = row_of(connection, organisation, row.job_id)
    if revision is not None and revision != row.revision:
        last = next((one for one in changes_of(desk)[::-1] if one.inspection == inspection), None)
        by, at = (last.by, last.at) if last else (None, "")
        raise DeskConflict({"inspection": Clash(row.result, "", by, at)}, row.revision, desk.revision)
    return desk, row


def _write(
    connection: Connection, row: Row, now: str, asked: Sequence[Item] | None = None, **values: Any
) -> None:
    if asked is not None:
        values |= {"asked": items_text(asked), "open_items": sum(item.open for item in asked)}
    changes = update(_table).where(_table.c.organisation == row.organisation, _table.c.id == row.id)
    connection.execute(changes.values(revision=row.revision + 1, updated_at=now, **values))


def _done(
    connection: Connection,
    desk: Row,
    now: str,
    person: int,
    inspection: int,
    what: str,
    names: Mapping[str, tuple[Any, Any]],
    reason: str = "",
) -> Inspection:
    changed(connection, desk, now, person, names, inspection=inspection, reason=reason)
    faults.at("after_inspection")
    row = _existing(connection, desk.organisation, inspection)
    body = {"job": desk.job_id, "inspection": inspection, "what": what, "revision": row.revision}
    words = {"reason": reason} if reason else {}
    log.append(connection, desk.organisation, ACT, now, person, None, body, words, desk.job_id)
    faults.at("after_inspection_log")
    return shape_of(row)


def _day(field: str, value: object) -> str:
    day = checking.iso_date(field, value)
    if not day:
        raise Invalid(field, "a date such as 2026-03-14")
    return day


def checked_facts(facts: Mapping[str, Any], longest: Mapping[str, int]) -> dict[str, str]:
    """Return facts as they are kept, each a line of at most so many characters. Raises Invalid."""
    unknown = facts.keys() - longest.keys()
    if unknown:
        raise Invalid(min(map(str, unknown))[:60], "a fact of an inspection")
    return {name: checking.line(name, said or "", longest[name]) for name, said in facts.items()}
