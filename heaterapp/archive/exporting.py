"""Taking records out: what matches, as it was at one moment, while writers go on."""

import json
from array import array
from collections.abc import Collection, Iterator, Mapping, Sequence
from contextlib import contextmanager
from typing import Any

from sqlalchemy import ColumnElement, Connection, func, select

from heaterapp.archive import bodies, checking, faults, log, office_tables, tables
from heaterapp.archive.database import Database
from heaterapp.archive.desk_shapes import Inspection
from heaterapp.archive.dialect import one_moment
from heaterapp.archive.export_shapes import DESK, Draft, Paper, Taken, Wanted
from heaterapp.archive.find import NEWEST, conditions_of, days_of, own_words
from heaterapp.archive.inspection_items import shape_of
from heaterapp.archive.matching import days_asked, ids_with_words, within
from heaterapp.archive.organisations import zone_of
from heaterapp.archive.people import read_person
from heaterapp.archive.records import read_hits, stored_files
from heaterapp.archive.shapes import KINDS
from heaterapp.archive.standing import is_finished
from heaterapp.archive.unissued import unissued
from heaterapp.archive.words import loosened, typed_words

ACT = "export"
WAYS = ("csv", "json", "json_lines", "papers", "whole", "recheck", "month", "inspections")
BATCH = 200
Beside = tuple[dict[str, str | None], list[Inspection]]
NOTHING: Beside = ({}, [])
"""What the desk holds of a job: its facts, and its inspections by day."""
_record, _payload = tables.record, tables.payload


class Moment:
    """The records that matched at one moment, newest first; read in one transaction."""

    def __init__(self, connection: Connection, organisation: int, ids: "array[int]", drafts: Sequence[str]):
        self._connection = connection
        self._organisation = organisation
        self._ids, self._drafts = ids, drafts

    @property
    def count(self) -> int:
        return len(self._ids) + self.drafts

    @property
    def drafts(self) -> int:
        """How many jobs without a paper are among them."""
        return len(self._drafts)

    def taken(self) -> Iterator[Taken | Draft]:
        """Give every record, and after them the jobs that have no paper."""
        yield from self.records()
        table = tables.job
        for at in range(0, len(self._drafts), BATCH):
            ids = self._drafts[at : at + BATCH]
            own = (table.c.organisation == self._organisation, table.c.id.in_(ids))
            desk = self._desk(ids)
            for row in self._connection.execute(select(table).where(*own).order_by(table.c.id)):
                answers = json.loads(row.answers)
                held, visits = desk.get(row.id, NOTHING)
                yield Draft(row.id, row.created_at, row.updated_at, answers, held, tuple(visits))

    def records(self) -> Iterator[Taken]:
        """Give every record with its answers and its report, a batch at a time."""
        for ids in self._batches():
            rows = {
                row.id: row
                for row in self._connection.execute(
                    select(_record).where(_record.c.organisation == self._organisation, _record.c.id.in_(ids))
                )
            }
            bodies = self._bodies(ids)
            erased = self._erased(ids)
            desk = self._desk({row.job_id for row in rows.values()})
            for hit in read_hits(self._connection, self._organisation, ids):
                row = rows[hit.record]
                beside, visits = NOTHING if hit.record in erased else desk.get(hit.job_id, NOTHING)
                yield Taken(
                    hit=hit,
                    erased_at=erased.get(hit.record),
                    job=bodies.get((hit.record, "job")),
                    report=bodies.get((hit.record, "report")),
                    ruleset_digest=row.ruleset_digest,
                    ruleset_version=row.ruleset_version,
                    previous_head=row.previous_head,
                    content_digest=row.content_digest,
                    check_code=row.check_code,
                    desk=beside,
                    inspections=tuple(visits),
                )

    def papers(self) -> Iterator[Paper]:
        """Give every stored file of every record, one record at a time."""
        for ids in self._batches():
            rows = self._connection.execute(
                select(_record.c.id, _record.c.number, _record.c.revision, _record.c.issued_at)
                .where(_record.c.organisation == self._organisation, _record.c.id.in_(ids))
                .order_by(_record.c.id.desc())
            ).all()
            for row in rows:
                files = stored_files(self._connection, self._organisation, row.id)
                for name, body in files.items():
                    yield Paper(row.number, row.revision, row.issued_at, name, body)

    def _batches(self) -> Iterator[list[int]]:
        for at in range(0, len(self._ids), BATCH):
            yield list(self._ids[at : at + BATCH])

    def _bodies(self, ids: Sequence[int]) -> dict[tuple[int, str], bytes]:
        query = select(_payload).where(
            _payload.c.organisation == self._organisation,
            _payload.c.record.in_(ids),
            _payload.c.name.in_(("job", "report")),
        )
        found: dict[int, list[Any]] = {}
        for row in self._connection.execute(query):
            found.setdefault(row.record, []).append(row)
        return {
            (record, name): body
            for record, rows in found.items()
            for name, body in bodies.read(self._connection, rows).items()
            if body
        }

    def _desk(self, jobs: Collection[str]) -> dict[str, Beside]:
        line, desk, visit = office_tables.desk_line, office_tables.desk, office_tables.inspection
        found: dict[str, Beside] = {}
        # The line last: it has worked out when a permit lapses.
        for table in (desk, visit, line):
            query = select(table).where(table.c.organisation == self._organisation, table.c.job_id.in_(jobs))
            if table is visit:
                query = query.order_by(func.coalesce(visit.c.result_on, visit.c.booked_for), visit.c.id)
            for row in self._connection.execute(query):
                told, visits = found.setdefault(row.job_id, ({}, []))
                if table is line:
                    told["permit_issued_on"] = row.permit_issued_on
                    told["permit_expires_on"] = row.permit_expires_on
                    told["final_passed_on"] = row.final_on
                elif table is desk:
                    told |= {name: said for name, said in json.loads(row.facts).items() if name in DESK}
                else:
                    visits.append(shape_of(row))
                    if row.result_on and row.result != "cancelled":
                        told |= {"last_inspection_on": row.result_on, "last_inspection_result": row.result}
        return found

    def _erased(self, ids: Sequence[int]) -> dict[int, str]:
        table = tables.log
        query = select(table.c.record, table.c.at).where(
            table.c.organisation == self._organisation, table.c.record.in_(ids), table.c.act == "erase"
        )
        return dict(self._connection.execute(query).all())


class Exporting:
    """Reads what is taken out of an organisation, and notes that it was."""

    def __init__(self, database: Database):
        self._database = database

    @contextmanager
    def moment(self, organisation: int, wanted: Wanted) -> Iterator[Moment]:
        """Open the finished records that match, as they are now; later acts change nothing in it.

        Erased ones are among them unless words or a person were asked for. Raises Invalid.
        """
        with self._database.read() as connection:
            one_moment(connection)
            ids = array("q", _ids(connection, organisation, wanted))
            drafts: Sequence[str] = ()
            if wanted.drafts and not wanted.narrows:
                drafts = unissued(connection, organisation, wanted.text, wanted.person)
            yield Moment(connection, organisation, ids, drafts)

    def note(self, organisation: int, person: int | None, what: str, wanted: Wanted, count: int) -> None:
        """Log the act: what form, which filter, how many; `person` None for the command. Raises NotFound."""
        body = {"what": checking.choice("what", what, WAYS), "filter": wanted.told(), "count": count}
        now = self._database.now()
        with self._database.write() as connection:
            log.lock(connection, organisation)
            faults.at("export_begun")
            if person is not None:
                read_person(connection, organisation, person)
            log.append(connection, organisation, ACT, now, person, None, body)
            faults.at("after_export_log")
        faults.at("export_committed")


def _ids(connection: Connection, organisation: int, wanted: Wanted) -> Iterator[int]:
    only: list[ColumnElement] = [is_finished(), *conditions_of(wanted.state)]
    if wanted.since is not None:
        only.append(_record.c.issued_at >= wanted.since)
    if wanted.until is not None:
        only.append(_record.c.issued_at < wanted.until)
    days = days_of(wanted.first_day, wanted.last_day)
    if days and days[0] > days[1]:
        return
    asked = days_asked(*days, zone_of(connection, organisation)) if days else {}
    only += [within(connection.dialect.name)] if days else []
    if wanted.text.strip() or wanted.person is not None:
        yield from _with_words(connection, organisation, wanted, only, asked)
        return
    if wanted.kind is not None:
        only.append(_record.c.kind == checking.choice("kind", wanted.kind, KINDS))
    # Not by the words, which an erased record has no more.
    query = select(_record.c.id).where(_record.c.organisation == organisation, *only)
    yield from connection.execute(query.order_by(_record.c.id.desc()), asked).scalars()


def _with_words(
    connection: Connection,
    organisation: int,
    wanted: Wanted,
    only: list[ColumnElement],
    asked: Mapping[str, str],
) -> Iterator[int]:
    own, typed = own_words(wanted.kind, wanted.person), typed_words(wanted.text)
    if wanted.text.strip() and not typed:
        return
    looser = loosened(typed)
    if looser and looser != typed and not ids_with_words(
        connection, organisation, own + typed, NEWEST, 1
    ):
        typed = looser
    before = NEWEST
    some = BATCH * 10
    while found := ids_with_words(connection, organisation, own + typed, before, some, only, asked=asked):
        yield from found
        before = found[-1]
