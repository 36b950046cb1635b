"""Taking records out: what matches, as it was at one moment, while writers go on."""

import json
from array import array
from collections.abc import Collection, Iterator, Mapping, Sequence
from contextlib import contextmanager
from dataclasses import dataclass
from typing import Any

from sqlalchemy import ColumnElement, Connection, select

from heaterapp.archive import bodies, checking, faults, log, office_tables, tables
from heaterapp.archive.database import Database
from heaterapp.archive.dialect import one_moment
from heaterapp.archive.find import NEWEST, conditions_of, days_of, own_words
from heaterapp.archive.matching import days_asked, ids_with_words, within
from heaterapp.archive.organisations import zone_of
from heaterapp.archive.people import read_person
from heaterapp.archive.records import read_hits, stored_files
from heaterapp.archive.shapes import KINDS, Hit
from heaterapp.archive.standing import is_finished
from heaterapp.archive.unissued import unissued
from heaterapp.archive.words import loosened, typed_words

ACT = "export"
WAYS = ("csv", "json", "json_lines", "papers", "whole", "recheck", "month")
BATCH = 200
DESK = (
    "permit_issued_on", "permit_expires_on", "last_inspection_on", "last_inspection_result",
    "final_passed_on", "contact_name", "contact_phone",
)  # fmt: skip
_record, _payload = tables.record, tables.payload


@dataclass(frozen=True)
class Wanted:
    """Which records: as in `find`, and issued from `since` on and before `until`, both UTC stamps.

    `first_day` and `last_day` are ISO dates as in `find`: the work done or the paper issued on one between.
    """

    text: str = ""
    kind: str | None = None
    state: str | None = None
    person: int | None = None
    since: str | None = None
    until: str | None = None
    first_day: str | None = None
    last_day: str | None = None
    drafts: bool = False
    """With the jobs that have no paper yet: by `text` and `person`, where nothing else is asked."""

    @property
    def narrows(self) -> bool:
        """Whether anything is asked that only a record has."""
        return any(value for name, value in vars(self).items() if name not in ("text", "person", "drafts"))

    def told(self) -> dict[str, object]:
        """What the log keeps of it. Words may be a name or an address, so only that there were some."""
        told = ("kind", "state", "person", "since", "until", "first_day", "last_day")
        kept = {name: getattr(self, name) for name in told}
        return {name: value for name, value in kept.items() if value is not None} | (
            ({"words": True} if self.text.strip() else {}) | ({"drafts": True} if self.drafts else {})
        )


@dataclass(frozen=True)
class Taken:
    """One record that is taken out. Where it was erased, number and dates are all there is."""

    hit: Hit
    erased_at: str | None
    job: bytes | None
    report: bytes | None
    ruleset_digest: str
    ruleset_version: str
    previous_head: str
    content_digest: str
    check_code: str
    desk: Mapping[str, str | None]
    """What the office holds of its job by now, by the names of DESK; empty once erased."""


@dataclass(frozen=True)
class Draft:
    """One job that no paper was issued for."""

    job_id: str
    opened_at: str
    changed_at: str
    answers: Mapping[str, Any]
    desk: Mapping[str, str | None]


@dataclass(frozen=True)
class Paper:
    """One stored file of a record; `body` is None where it was erased."""

    number: str
    revision: int
    issued_at: str
    name: str
    body: bytes | None


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
                yield Draft(row.id, row.created_at, row.updated_at, answers, desk.get(row.id, {}))

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
                beside = {} if hit.record in erased else desk.get(hit.job_id, {})
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

    def _desk(self, jobs: Collection[str]) -> dict[str, dict[str, str | None]]:
        line, desk, visit = office_tables.desk_line, office_tables.desk, office_tables.inspection
        found: dict[str, dict[str, str | None]] = {}
        for table in (line, desk, visit):
            query = select(table).where(table.c.organisation == self._organisation, table.c.job_id.in_(jobs))
            query = query.order_by(visit.c.id) if table is visit else query
            for row in self._connection.execute(query):
                told = found.setdefault(row.job_id, {})
                if table is line:
                    told["permit_issued_on"] = row.permit_issued_on
                    told["permit_expires_on"] = row.permit_expires_on
                    told["final_passed_on"] = row.final_on
                elif table is desk:
                    facts = json.loads(row.facts)
                    told |= {name: facts.get(name) for name in ("contact_name", "contact_phone")}
                elif row.result_on and row.result != "cancelled":
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
