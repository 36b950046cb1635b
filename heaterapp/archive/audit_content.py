"""The part of verify that holds every record, its contents and its search row against the log."""

import json
from collections import defaultdict
from typing import Any

from sqlalchemy import Connection, Row, Table, and_, select

from heaterapp.archive import bodies, office_tables, phone_tables, tables
from heaterapp.archive.arriving import PARCEL
from heaterapp.archive.audit_arrivals import Arrived
from heaterapp.archive.audit_sweep import Sweeps
from heaterapp.archive.canonical import salted
from heaterapp.archive.find import words_of
from heaterapp.archive.one_firm import rows_of
from heaterapp.archive.shapes import Facts, Fault

BATCH = 200
BOUND_TO_RECORD = (
    tables.payload, tables.submission, tables.pending, tables.finding, phone_tables.arrival,
    office_tables.void, office_tables.sweep, office_tables.sweep_finding,
)  # fmt: skip
VOID_FIELDS = ("voided_at", "voided_by", "entry")


class Content:
    """Goes through the records by id, so that memory stays flat however many there are."""

    def __init__(
        self,
        connection: Connection,
        erased: set[tuple[int, int]],
        faults: list[Fault],
        only: int | None = None,
    ):
        self._connection = connection
        self._erased = erased
        self._faults = faults
        self.records = 0
        self.payloads = 0
        self._only = only
        firms = connection.execute(rows_of(tables.organisation, only))
        self._firms = [row.organisation for row in firms]
        self._sweeps = Sweeps()
        self._arrived = Arrived()

    def check(self) -> None:
        after: int | None = None
        while batch := self._batch(after):
            self._check_batch(batch)
            self.records += len(batch)
            after = batch[-1].id
        for table in BOUND_TO_RECORD:
            self._check_orphans(table)
        self._check_missing_records()

    def check_some(self, ids: set[int]) -> None:
        """Check these records alone; one that is not there is a fault."""
        record = tables.record
        query = select(record).where(record.c.id.in_(ids)).order_by(record.c.id)
        found = list(self._connection.execute(query))
        self._check_batch(found)
        self.records += len(found)
        for number in sorted(ids - {row.id for row in found}):
            self._fault("record", number, "id", "missing")

    def _batch(self, after: int | None) -> list[Row]:
        record = tables.record
        query = rows_of(record, self._only).order_by(record.c.id).limit(BATCH)
        return list(self._connection.execute(query if after is None else query.where(record.c.id > after)))

    def _check_batch(self, batch: list[Row]) -> None:
        ids = [row.id for row in batch]
        issues: dict[tuple[int, int], Row] = {}
        wanted: dict[tuple[int, int], dict[str, str]] = defaultdict(dict)
        finished = set()
        voided: dict[tuple[int, int], dict[str, Any]] = {}
        for entry in self._rows(tables.log, ids):
            key = (entry.organisation, entry.record)
            if entry.act in ("issue", "finish"):
                wanted[key].update(_section(body_of(entry), "payload"))
            if entry.act == "issue":
                issues[key] = entry
            elif entry.act == "finish":
                finished.add(key)
            elif entry.act == "void":
                voided[key] = {**body_of(entry), "entry": entry.seq}
        self._sweeps = Sweeps()
        self._arrived = Arrived()
        facts = self._check_payloads(ids, wanted)
        keys = {(row.organisation, row.record): row.key for row in self._rows(tables.submission, ids)}
        findings = {(row.organisation, row.record): row for row in self._rows(tables.finding, ids)}
        arrivals = {(row.organisation, row.record): row for row in self._rows(phone_tables.arrival, ids)}
        self._check_voids(self._rows(office_tables.void, ids), voided)
        sought = [self._rows(table, ids) for table in (office_tables.sweep, office_tables.sweep_finding)]
        self._sweeps.check([(row.organisation, row.id) for row in batch], *sought, self._erased, self._fault)
        waiting = {(row.organisation, row.record) for row in self._rows(tables.pending, ids)}
        for row in batch:
            key = (row.organisation, row.id)
            entry = issues.get(key)
            if entry is None:
                self._fault("record", row.id, "id", "no such record in this organisation's log")
                for table, kept in (("submission", keys), ("finding", findings), ("arrival", arrivals)):
                    if key in kept:
                        self._fault(table, row.id, "record", "nothing in the log vouches for it")
                continue
            self._check_record(row, entry)
            body = body_of(entry)
            if keys.get(key) != body.get("key"):
                self._fault("submission", row.id, "key", "differs from the log")
            self._check_finding(findings.get(key), entry, facts.get(key))
            if PARCEL in wanted[key] or key in arrivals:
                self._arrived.check(key, row, arrivals.get(key), body, self._fault)
            done = key in finished or key in self._erased
            if (key in waiting) == done:
                what = "waits though it is finished" if done else "is neither finished nor waiting"
                self._fault("pending", row.id, "record", what)

    def _check_record(self, row: Row, entry: Row) -> None:
        said = _section(body_of(entry), "record")
        for name, value in row._mapping.items():
            if said.get(name) != value:
                self._fault("record", row.id, name, "differs from the log")
        if row.previous_head != entry.previous:
            self._fault("record", row.id, "previous_head", "is not the entry before in the log")

    def _check_payloads(
        self, ids: list[int], wanted: dict[tuple[int, int], dict[str, str]]
    ) -> dict[tuple[int, int], str]:
        facts = {}
        found: dict[tuple[int, int], set[str]] = defaultdict(set)
        rows = list(self._rows(tables.payload, ids))
        gone = [row for row in rows if (row.organisation, row.record) in self._erased]
        kept = [row for row in rows if (row.organisation, row.record) not in self._erased]
        for row in bodies.still_away(self._connection, gone):
            self._fault("payload", row.record, "body", "still lies in the place for blobs", row.name)
        for row in (*gone, *bodies.filled(self._connection, kept)):
            key = (row.organisation, row.record)
            self.payloads += 1
            found[key].add(row.name)
            self._check_payload(row, wanted[key].get(row.name), key in self._erased)
            self._arrived.note(key, row)
            if row.body is not None:
                self._sweeps.note(key, row.name, row.body)
            if row.name == "facts" and row.body is not None:
                facts[key] = row.body.decode("utf-8", "surrogateescape")
        for key, names in wanted.items():
            for name in names.keys() - found[key]:
                self._fault("payload", key[1], "name", "missing", name)
        return facts

    def _check_payload(self, row: Any, digest: str | None, erased: bool) -> None:
        if digest is None:
            self._fault("payload", row.record, "name", "is not in the log", row.name)
        elif row.digest != digest:
            self._fault("payload", row.record, "digest", "differs from the log", row.name)
        elif erased:
            if row.salt is not None or row.body is not None:
                self._fault(
                    "payload", row.record, "body or salt", "is there though it was erased", row.name
                )
        elif row.lost is not None:
            self._fault("payload", row.record, "body", row.lost, row.name)
        elif row.salt is None or row.body is None:
            self._fault(
                "payload", row.record, "body or salt", "gone without an erasure in the log", row.name
            )
        elif salted(row.salt, row.name, row.body) != digest:
            self._fault("payload", row.record, "body or salt", "does not match its digest", row.name)

    def _check_finding(self, row: Row | None, entry: Row, facts: str | None) -> None:
        if (entry.organisation, entry.record) in self._erased:
            if row is not None:
                self._fault("finding", entry.record, "record", "is still there after the erasure")
            return
        if row is None:
            self._fault("finding", entry.record, "record", "missing")
            return
        body = body_of(entry)
        if row.facts != facts:
            self._fault("finding", entry.record, "facts", "differ from the record's content")
        if row.installer != body.get("installer"):
            self._fault("finding", entry.record, "installer", "differs from the log")
        if row.words != _words(body, facts):
            self._fault("finding", entry.record, "words", "are not those of the record")

    def _check_voids(self, rows: Any, said: dict[tuple[int, int], dict[str, Any]]) -> None:
        seen = set()
        for row in rows:
            key = (row.organisation, row.record)
            seen.add(key)
            if key not in said:
                self._fault("void", row.record, "record", "is not in the log")
                continue
            for name in VOID_FIELDS:
                if getattr(row, name) != said[key].get(name):
                    self._fault("void", row.record, name, "differs from the log")
        for _, record in said.keys() - seen:
            self._fault("void", record, "record", "missing")

    def _check_orphans(self, table: Table) -> None:
        record = tables.record
        joined = table.outerjoin(
            record, and_(record.c.organisation == table.c.organisation, record.c.id == table.c.record)
        )
        orphans = select(table.c.organisation, table.c.record).select_from(joined)
        if self._only is not None:
            orphans = orphans.where(table.c.organisation == self._only)
        for row in self._connection.execute(orphans.where(record.c.id.is_(None))):
            what = f"no such record in organisation {row.organisation}"
            self._fault(table.name, row.record, "record", what)

    def _check_missing_records(self) -> None:
        record, log = tables.record, tables.log
        joined = log.outerjoin(
            record, and_(record.c.organisation == log.c.organisation, record.c.id == log.c.record)
        )
        gone = select(log.c.record).select_from(joined).where(log.c.act == "issue", record.c.id.is_(None))
        if self._only is not None:
            gone = gone.where(log.c.organisation == self._only)
        for number in self._connection.execute(gone).scalars():
            self._fault("record", number, "id", "missing")

    def _rows(self, table: Table, ids: list[int]) -> Any:
        # Naming the organisations lets the database use its index; a row of none of them is an orphan.
        ours = (table.c.organisation.in_(self._firms), table.c.record.in_(ids))
        return self._connection.execute(select(table).where(*ours))

    def _fault(self, table: str, record: int, field: str, what: str, part: str = "") -> None:
        self._faults.append(Fault(table, f"record {record} {part}".rstrip(), field, what))


def body_of(entry: Row) -> dict[str, Any]:
    """Return a log entry's body, or nothing when damage has made it unreadable."""
    try:
        body = json.loads(entry.body)
    except (TypeError, ValueError):
        return {}
    return body if isinstance(body, dict) else {}


def _section(body: dict[str, Any], name: str) -> dict[str, Any]:
    part = body.get(name)
    return part if isinstance(part, dict) else {}


def _words(body: dict[str, Any], facts: str | None) -> str | None:
    try:
        return words_of(_section(body, "record"), Facts(**json.loads(facts or "")), body.get("installer"))
    except (KeyError, TypeError, ValueError):
        return None
