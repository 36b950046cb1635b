"""The office's desk: a job opened, its facts and permit kept, what a month's page asks.

    forget(connection, organisation, job_id)

empties every text that desk and inspections hold of a job, for an erasure in the caller's
transaction: facts, notes, the inspectors' words, who changed what, the words it is found by.
Dates, results and the checks that items name stay; they are no personal data. The desk's row
says `erased` from then on: no permit of it is watched, and what was booked is cancelled.
"""

from __future__ import annotations

import json
from collections.abc import Mapping
from datetime import date, timedelta
from typing import Any

from sqlalchemy import Connection, exists, select, update

from heaterapp.archive import checking, faults, job_rows, log, office_tables
from heaterapp.archive.canonical import canonical
from heaterapp.archive.database import Database
from heaterapp.archive.desk_board import line_of, lines_of
from heaterapp.archive.desk_rows import changed, changes_of, checked_facts, clashes, row_of, was_before
from heaterapp.archive.desk_shapes import OPEN_RESULTS, Clash, DeskConflict, DeskJob, Inspection, Line
from heaterapp.archive.errors import AnswerConflict
from heaterapp.archive.inspection_items import shape_of
from heaterapp.archive.people import read_person

_line, _desk, _inspection = office_tables.desk_line, office_tables.desk, office_tables.inspection
ACT = "desk"
AS_IT_IS = -1
MOST_LISTED = 1000
LONGEST_KEPT = 300


class Desk:
    """The rows beside the jobs; each change of one is an act in the log, without what was typed."""

    def __init__(self, database: Database):
        self._database = database

    def get(self, organisation: int, job_id: str) -> DeskJob:
        """Return a job with all that the office holds of it. Raises NotFound."""
        with self._database.read() as connection:
            return _read(connection, organisation, job_id)

    def open(
        self,
        organisation: int,
        person: int,
        job_id: str,
        answers: Mapping[str, Any],
        facts: Mapping[str, Any],
        installer: int | None = None,
    ) -> DeskJob:
        """Open a job, or return the one that has this id already, unchanged. Raises Invalid, NotFound."""
        kept, now = checked_facts(facts), self._database.now()
        with self._database.write() as connection:
            log.lock(connection, organisation)
            read_person(connection, organisation, person)
            if job_rows.row_of(connection, organisation, checking.job_id(job_id)) is not None:
                return _read(connection, organisation, job_id)
            job = job_rows.make(connection, now, organisation, installer, answers, job_id)
            faults.at("after_desk_opened")
            row = row_of(connection, organisation, job.id)
            opened = {"opened": (None, None)}
            revision = changed(connection, row, now, person, opened, facts=kept, answers=job.answers)
            names = ["opened", *(name for name, said in (dict(job.answers) | kept).items() if said)]
            _log(connection, row, now, person, revision, [*names, *(["installer"] if installer else [])])
            return _read(connection, organisation, job.id)

    def save(
        self,
        organisation: int,
        person: int,
        job_id: str,
        *,
        facts: Mapping[str, Any] | None = None,
        answers: Mapping[str, Any] | None = None,
        installer: int | None = AS_IT_IS,
        revision: int | None = None,
        job_revision: int | None = None,
        reason: str = "",
    ) -> DeskJob:
        """Change facts, answers and whose job it is, all or nothing; what is not named stays.

        revision, job_revision  those the changes were made on: what somebody else has
                                changed since to another value raises DeskConflict

        Raises Invalid, NotFound, JobIssued (answers of an issued job), DeskConflict.
        """
        offered, wanted = checked_facts(facts or {}), dict(answers or {})
        kept_reason = checking.line("reason", reason, checking.LONGEST_REASON)
        now = self._database.now()
        with self._database.write() as connection:
            log.lock(connection, organisation)
            read_person(connection, organisation, person)
            row = row_of(connection, organisation, job_id)
            job = job_rows.read_job(connection, organisation, row.job_id)
            found = clashes(row, offered, revision)
            try:
                if wanted:
                    job_rows.merge(connection, now, organisation, job.id, wanted, job_revision)
            except AnswerConflict as conflict:
                found |= _answer_clashes(row, conflict)
            if found:
                raise DeskConflict(found, row.revision, job.revision)
            held = json.loads(row.facts)
            names: dict[str, tuple[Any, Any]] = {
                name: (held.get(name, ""), said)
                for name, said in offered.items()
                if said != held.get(name, "")
            }
            names |= {
                name: (_brief(job.answers.get(name)), _brief(said))
                for name, said in wanted.items()
                if said != job.answers.get(name)
            }
            if installer != AS_IT_IS and installer != job.installer:
                job_rows.give(connection, now, organisation, job.id, installer)
                names["installer"] = (job.installer, installer)
            faults.at("after_desk_job")
            if names:
                after = job_rows.read_job(connection, organisation, job.id)
                new = changed(
                    connection, row_of(connection, organisation, job.id), now, person, names,
                    facts={**held, **offered}, answers=after.answers, reason=kept_reason,
                )  # fmt: skip
                _log(connection, row, now, person, new, list(names), kept_reason)
            return _read(connection, organisation, job.id)

    def failed_first_inspections(
        self, organisation: int, first_day: str, last_day: str
    ) -> list[tuple[Line, Inspection]]:
        """Return the jobs whose first inspection was not passed on one of these days, by day.

        first_day, last_day  ISO dates, both within; a cancelled inspection is no first one
        """
        earlier = _inspection.alias("earlier")
        before = exists().where(
            earlier.c.organisation == organisation, earlier.c.job_id == _inspection.c.job_id,
            was_before(earlier),
            earlier.c.result != "cancelled",
        )  # fmt: skip
        query = (
            select(_inspection)
            .where(
                _inspection.c.organisation == organisation,
                _inspection.c.result_on >= first_day, _inspection.c.result_on <= last_day,
                _inspection.c.result.in_(OPEN_RESULTS), ~before,
            )
            .order_by(_inspection.c.result_on, _inspection.c.id)
        )  # fmt: skip
        with self._database.read() as connection:
            found = [shape_of(row) for row in connection.execute(query)]
            lines = lines_of(connection, organisation, [one.job_id for one in found])
            return [(lines[one.job_id], one) for one in found]

    def permits_to_expire(self, organisation: int, on: str, within_days: int) -> list[Line]:
        """Return the jobs, no final inspection passed yet, whose permit lapses by then, the lapsed first.

        on           the ISO date they are looked at
        within_days  whole days from then, 0 for those lapsed or lapsing that day
        returns      at most 1000; `Line.permit_expires_on` before `on` has lapsed
        """
        last = (date.fromisoformat(on) + timedelta(days=within_days)).isoformat()
        lapsing = (_line.c.permit_expires_on <= last, _line.c.final_on.is_(None))
        return self._lines(organisation, lapsing, _line.c.permit_expires_on)

    def waiting_for_inspection(self, organisation: int) -> list[Line]:
        """Return issued jobs with a permit or an inspection on the desk and no final one passed yet.

        `Line.stage` says how far each is: permit, booked, failed. At most 1000, the oldest first.
        """
        waiting = (_line.c.stage.in_(("permit", "booked", "failed")), _line.c.state == "issued")
        return self._lines(organisation, waiting, _line.c.opened_at)

    def _lines(self, organisation: int, where: tuple, order: Any) -> list[Line]:
        query = select(_line).where(_line.c.organisation == organisation, *where)
        with self._database.read() as connection:
            rows = connection.execute(query.order_by(order, _line.c.job_id).limit(MOST_LISTED))
            return [line_of(row) for row in rows]


def forget(connection: Connection, organisation: int, job_id: str) -> None:
    """Empty every text that desk and inspections hold of a job; the caller logs the erasure."""
    this = (_desk.c.organisation == organisation, _desk.c.job_id == job_id)
    connection.execute(update(_desk).where(*this).values(facts="{}", changes="[]"))
    this = (_line.c.organisation == organisation, _line.c.job_id == job_id)
    gone = {"address": "", "owner": "", "words": "", "stage": "", "permit_expires_on": None}
    connection.execute(update(_line).where(*this).values(state="erased", **gone))
    of_job = (_inspection.c.organisation == organisation, _inspection.c.job_id == job_id)
    for row in connection.execute(select(_inspection).where(*of_job)).all():
        bare = [{**item, "text": "", "who": "", "said": ""} for item in json.loads(row.asked)]
        final = {name: said for name, said in json.loads(row.facts).items() if name == "final"}
        emptied = update(_inspection).where(_inspection.c.id == row.id)
        result = "cancelled" if row.result == "booked" else row.result
        connection.execute(emptied.values(facts=canonical(final), asked=canonical(bare), result=result))


def _read(connection: Connection, organisation: int, job_id: str) -> DeskJob:
    row = row_of(connection, organisation, job_id)
    return DeskJob(
        job=job_rows.read_job(connection, organisation, row.job_id),
        facts=json.loads(row.facts),
        revision=row.revision,
        stage=row.stage,
        day=row.day,
        permit_issued_on=row.permit_issued_on,
        permit_expires_on=row.permit_expires_on,
        final_on=row.final_on,
        changes=tuple(changes_of(row)[::-1]),
    )


def _brief(answer: Any) -> str | None:
    """An answer as the row remembers it: what is no text, as whole amendments, only by being there."""
    return answer[:LONGEST_KEPT] if isinstance(answer, str) else None


def _answer_clashes(row: Any, conflict: AnswerConflict) -> dict[str, Clash]:
    last = {name: one for one in changes_of(row) for name in one.names}
    found = {}
    for name, (stored, offered) in conflict.conflicts.items():
        by = last.get(name)
        # Of a phone's saving nobody's name is kept: nobody is named rather than the wrong one.
        ours = by is not None and by.names[name][1] == _brief(stored)
        found[name] = Clash(stored, offered, by.by if ours else None, by.at if ours else "")
    return found


def _log(
    connection: Connection, row: Any, now: str, person: int, revision: int, names: list[str], reason: str = ""
) -> None:
    faults.at("after_desk_row")
    body: dict[str, Any] = {"job": row.job_id, "revision": revision, "changed": sorted(names)}
    words = {"reason": reason} if reason else {}
    log.append(connection, row.organisation, ACT, now, person, None, body, words, row.job_id)
    faults.at("after_desk_log")
