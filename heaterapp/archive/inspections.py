"""Inspections: booked, their results with what the inspector asked for, what was mended since."""

from __future__ import annotations

import json
from collections.abc import Mapping, Sequence
from typing import Any

from sqlalchemy import Connection, Row, insert, select

from heaterapp.archive import checking, job_rows, log, office_tables, tables
from heaterapp.archive.canonical import canonical
from heaterapp.archive.correcting import OPENED, SECOND_VISIT
from heaterapp.archive.database import Database
from heaterapp.archive.desk_rows import inspections_of, row_of
from heaterapp.archive.desk_shapes import OPEN_RESULTS, RESULTS, Inspection, Item
from heaterapp.archive.errors import Invalid
from heaterapp.archive.hits import read_hits
from heaterapp.archive.inspection_items import as_inspected, checked_items, shape_of
from heaterapp.archive.inspection_rows import (
    checked_facts,
    day_of,
    done,
    existing,
    keep_items,
    open_row,
    refuse_too_early,
    settle,
    take_back_accepted,
    write,
)
from heaterapp.archive.people import read_person
from heaterapp.archive.shapes import Job

_table = office_tables.inspection
LONGEST = {"window": 60, "contact": 200, "phone": 60, "adult": 3, "note": 500}
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
            return shape_of(existing(connection, organisation, inspection))

    def book(
        self, organisation: int, person: int, job_id: str, booked_for: str, facts: Mapping[str, Any]
    ) -> Inspection:
        """Book an inspection.

        booked_for  ISO date
        facts       `window`, `contact`, `phone`, `adult` (yes, no), `note`

        Raises NotFound; Invalid, also when one is booked for this job already.
        """
        day, kept = day_of("booked_for", booked_for), checked_facts(facts, LONGEST)
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
            return done(connection, desk, now, person, made[0], "booked", {"booked_for": (None, day)})

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
        day, kept = day_of("booked_for", booked_for), checked_facts(facts, LONGEST)
        now = self._database.now()
        with self._database.write() as connection:
            desk, row = open_row(connection, organisation, person, inspection, revision)
            if row.result != "booked":
                raise Invalid("booked_for", "an inspection that has no result yet")
            write(connection, row, now, booked_for=day, facts=canonical({**json.loads(row.facts), **kept}))
            names = {"booked_for": (row.booked_for, day)}
            return done(connection, desk, now, person, row.id, "moved", names)

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
        became: Mapping[int, tuple[int, Sequence[Item]]] | None = None,
    ) -> Inspection:
        """Record what came of it; a passed one whose `final` is yes makes the job final that day.

        result     passed, failed, partly or cancelled
        result_on  ISO date
        facts      `inspector`, `said` (their words), `final` (yes, no)
        items      what the inspector asked for; at most 40, none when passed or cancelled
        became     earlier inspection of the job -> its revision, and its items as they stand after this one

        Raises NotFound, Invalid (also for a visit before the permit or long before it was booked for),
        DeskConflict.
        """
        checking.choice("result", result, RESULTS)
        day, kept = day_of("result_on", result_on), checked_facts(facts, LONGEST_RESULT)
        asked = checked_items(items)
        if asked and result not in OPEN_RESULTS:
            raise Invalid("items", "none where the inspection was passed or cancelled")
        now = self._database.now()
        with self._database.write() as connection:
            desk, row = open_row(connection, organisation, person, inspection, revision)
            if row.result != "booked":
                raise Invalid("result", "an inspection that has no result yet")
            if result != "cancelled":
                refuse_too_early(day, row, desk)
            merged = canonical({**json.loads(row.facts), **kept})
            asked = as_inspected(connection, organisation, row.job_id, asked)
            write(connection, row, now, result=result, result_on=day, facts=merged, asked=asked)
            names = {"result": ("booked", result)}
            if became:
                settle(connection, desk, now, person, became)
                desk = row_of(connection, organisation, row.job_id)
            return done(connection, desk, now, person, row.id, result, names)

    def take_back(
        self, organisation: int, person: int, inspection: int, revision: int, reason: str
    ) -> Inspection:
        """Take a result back that was recorded by mistake: the inspection is booked as before.

        Raises NotFound, Invalid (no reason, no result yet, another one is booked), DeskConflict.
        """
        why, now = checking.reason(reason), self._database.now()
        with self._database.write() as connection:
            desk, row = open_row(connection, organisation, person, inspection, revision)
            others = inspections_of(connection, organisation, desk.job_id)
            if row.result == "booked" or any(one.result == "booked" for one in others):
                raise Invalid("result", "a recorded one, and no other inspection booked for this job")
            facts = {name: said for name, said in json.loads(row.facts).items() if name in LONGEST}
            gone = {"result": "booked", "result_on": None, "facts": canonical(facts)}
            write(connection, row, now, asked=[], **gone)
            take_back_accepted(connection, desk, row, now, person)
            desk = row_of(connection, organisation, row.job_id)
            return done(
                connection, desk, now, person, row.id, "taken_back", {"result": (row.result, "booked")}, why
            )

    def mend(
        self, organisation: int, person: int, inspection: int, revision: int, items: Sequence[Item]
    ) -> Inspection:
        """Keep the items as they stand now: who mends each, and when it was. Raises as `tell`.

        Whose word it is that an item is mended is kept with it: `person`, where its day is new, which is
        never before the day it was found.
        """
        now = self._database.now()
        with self._database.write() as connection:
            desk, row = open_row(connection, organisation, person, inspection, revision)
            if row.result not in OPEN_RESULTS:
                raise Invalid("items", "an inspection that was failed or passed in part")
            return keep_items(connection, desk, row, now, person, items)

    def second_visit(
        self, organisation: int, person: int, inspection: int, installer: int | None = None
    ) -> Job:
        """Open the job again, so that its next paper is a revision of the first; harmless to repeat.

        installer  who goes, where it is another
        """
        now = self._database.now()
        with self._database.write() as connection:
            desk, row = open_row(connection, organisation, person, inspection, None)
            if row.result not in OPEN_RESULTS:
                raise Invalid("result", "an inspection that was failed or passed in part")
            job = job_rows.read_job(connection, organisation, desk.job_id)
            if installer is not None and installer != job.installer:
                job_rows.give(connection, now, organisation, job.id, installer)
            if job.state == "issued":
                _say_why(connection, now, person, row)
            job_rows.open_again(connection, now, organisation, job.id)
            names = {"state": (job.state, "draft")}
            done(connection, desk, now, person, row.id, "second_visit", names)
            return job_rows.read_job(connection, organisation, job.id)


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
