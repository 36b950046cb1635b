"""Rechecks: how far a run through the current certificates came, and which are judged otherwise today.

Working rows. A batch and its place in the run are written in one transaction, and only by whoever has the
place before it: after a kill the run goes on exactly where it stopped, and two that run it at once count
nothing twice. What the changes mean the caller knows; here a change is a mark and the JSON to be read of it.
"""

import json
from collections.abc import Mapping, Sequence
from typing import Any

from sqlalchemy import (
    ColumnElement,
    Connection,
    Row,
    and_,
    delete,
    exists,
    func,
    insert,
    not_,
    select,
    update,
)

from heaterapp.archive import bodies, faults, log, office_tables, tables
from heaterapp.archive.canonical import canonical
from heaterapp.archive.database import Database
from heaterapp.archive.errors import NotFound
from heaterapp.archive.people import read_person
from heaterapp.archive.recheck_shapes import Recheck as Recheck
from heaterapp.archive.recheck_shapes import RecheckMoved as RecheckMoved
from heaterapp.archive.recheck_shapes import RecheckOpen as RecheckOpen
from heaterapp.archive.recheck_shapes import Stored as Stored
from heaterapp.archive.recheck_shapes import Turned as Turned
from heaterapp.archive.standing import is_finished, is_replaced, is_void

_run, _hit, _record = office_tables.recheck, office_tables.recheck_hit, tables.record
NOT_READ = ("refused:", "broken:")
"""How the marks begin of a job that today's rules did not judge."""


class Rechecks:
    """The only writer of rechecks."""

    def __init__(self, database: Database):
        self._database = database

    def start(self, organisation: int, person: int, digest: str, version: str) -> Recheck:
        """Begin a run over what is current now, as a logged act of `person`. Raises NotFound, RecheckOpen.

        A run that was broken off under other rules is closed where it stands.
        """
        now = self._database.now()
        # Counted before the lock is taken, so that nobody waits: what is issued meanwhile is behind `upto`.
        current = select(func.max(_record.c.id), func.count()).where(*_eligible(organisation))
        with self._database.read() as connection:
            newest, total = connection.execute(current).one()
        with self._database.write() as connection:
            log.lock(connection, organisation)
            faults.at("recheck_begun")
            read_person(connection, organisation, person)
            before = _unfinished(connection, organisation)
            if before is not None and before.ruleset_digest == digest:
                raise RecheckOpen(before.id)
            if before is not None:
                _close(connection, before, person, now, "left")
            values = {
                "organisation": organisation, "started_at": now, "started_by": person,
                "moved_at": now,
                "ruleset_digest": digest, "ruleset_version": version, "upto": newest or 0, "done_to": 0,
                "total": total, "looked": 0, "differing": 0, "failed": 0, "finished_at": None,
            }  # fmt: skip
            run = connection.execute(insert(_run).values(values)).inserted_primary_key[0]
            faults.at("after_recheck_row")
            told = {"recheck": run, "state": "started", "total": total, "ruleset": digest}
            log.append(connection, organisation, "recheck", now, person, None, told)
            faults.at("after_recheck_log")
            made = _read(connection, organisation, run)
        faults.at("recheck_committed")
        return made

    def get(self, organisation: int, run: int) -> Recheck:
        """Return a run. Raises NotFound."""
        with self._database.read() as connection:
            return _read(connection, organisation, run)

    def newest(self, organisation: int, limit: int = 20) -> list[Recheck]:
        """Return the runs of an organisation, newest first."""
        query = select(_run).where(_run.c.organisation == organisation).order_by(_run.c.id.desc())
        with self._database.read() as connection:
            return [Recheck(**row._mapping) for row in connection.execute(query.limit(limit))]

    def unfinished(self, organisation: int) -> Recheck | None:
        """Return the run that is not at its end, or None."""
        with self._database.read() as connection:
            return _unfinished(connection, organisation)

    def batch(self, run: Recheck, after: int, limit: int) -> list[Stored]:
        """Return the next certificates of a run behind the record `after`, oldest first; none at its end."""
        query = select(_record.c.id).where(
            *_eligible(run.organisation), _record.c.id > after, _record.c.id <= run.upto
        )
        with self._database.read() as connection:
            ids = connection.execute(query.order_by(_record.c.id).limit(limit)).scalars().all()
            return _stored(connection, run.organisation, ids)

    def keep(self, run: Recheck, to: int, looked: int, found: Mapping[int, Mapping[str, Any]]) -> Recheck:
        """Write one batch: the run comes from `run.done_to` to `to`, with `looked` more looked at.

        found    record -> its changes, mark -> what is to be read of it; only what has any

        Raises RecheckMoved when the run is not where `run` has it.
        """
        failed = sum(any(mark.startswith(NOT_READ) for mark in marks) for marks in found.values())
        rows = [
            {
                "organisation": run.organisation, "recheck": run.id, "record": record, "change": mark[:200],
                "what": canonical(what),
            }
            for record, marks in found.items()
            for mark, what in marks.items()
        ]  # fmt: skip
        here = (
            _run.c.organisation == run.organisation, _run.c.id == run.id, _run.c.done_to == run.done_to,
            _run.c.finished_at.is_(None),
        )  # fmt: skip
        now = self._database.now()
        with self._database.write() as connection:
            log.lock(connection, run.organisation)
            faults.at("recheck_batch_begun")
            moved = connection.execute(
                update(_run)
                .where(*here)
                .values(
                    done_to=to,
                    moved_at=now,
                    looked=_run.c.looked + looked,
                    differing=_run.c.differing + len(found) - failed,
                    failed=_run.c.failed + failed,
                )
            )
            if moved.rowcount != 1:
                raise RecheckMoved("Somebody else goes on with this recheck.")
            faults.at("after_recheck_place")
            gone = _erased(connection, run.organisation, list(found))
            rows = [row for row in rows if row["record"] not in gone]
            if rows:
                connection.execute(insert(_hit), rows)
            faults.at("after_recheck_hits")
            made = _read(connection, run.organisation, run.id)
        faults.at("recheck_batch_committed")
        return made

    def finish(self, run: Recheck, person: int | None = None) -> Recheck:
        """Close a run at its end, as a logged act of who began it, or of `person`; harmless to repeat."""
        now = self._database.now()
        with self._database.write() as connection:
            log.lock(connection, run.organisation)
            known = _read(connection, run.organisation, run.id)
            if known.finished_at is None:
                _close(connection, known, person or known.started_by, now, "finished")
            return _read(connection, run.organisation, run.id)

    def counts(self, organisation: int, run: int) -> dict[str, int]:
        """Return mark -> how many certificates have this change, the most first. Raises NotFound."""
        many = func.count()
        query = (
            select(_hit.c.change, many)
            .where(_hit.c.organisation == organisation, _hit.c.recheck == run)
            .group_by(_hit.c.change)
            .order_by(many.desc(), _hit.c.change)
        )
        with self._database.read() as connection:
            _read(connection, organisation, run)
            return dict(connection.execute(query).all())

    def turned(
        self, organisation: int, run: int, change: str | None = None, after: tuple[int, str] = (0, ""),
        limit: int = 50,
    ) -> list[Turned]:  # fmt: skip
        """Return changes of a run by record and mark, behind `after`, of one mark or all. Raises NotFound."""
        behind = (_hit.c.record > after[0]) | and_(_hit.c.record == after[0], _hit.c.change > after[1])
        one = [_hit.c.change == change] if change is not None else []
        query = (
            select(_hit, _record.c.number, _record.c.issued_at, tables.finding.c.facts)
            .join(_record, (_record.c.organisation == _hit.c.organisation) & (_record.c.id == _hit.c.record))
            .outerjoin(tables.finding, tables.finding.c.record == _hit.c.record)
            .where(_hit.c.organisation == organisation, _hit.c.recheck == run, behind, *one)
            .order_by(_hit.c.record, _hit.c.change)
        )
        with self._database.read() as connection:
            _read(connection, organisation, run)
            return [_turned(row) for row in connection.execute(query.limit(limit))]


def forget(connection: Connection, organisation: int, record: int) -> None:
    """Take away what rechecks said of one record, within its erasure."""
    connection.execute(delete(_hit).where(_hit.c.organisation == organisation, _hit.c.record == record))


def _eligible(organisation: int) -> list[ColumnElement]:
    payload = tables.payload
    whole = exists().where(
        payload.c.organisation == _record.c.organisation, payload.c.record == _record.c.id,
        payload.c.name == "job", payload.c.salt.is_not(None),
    )  # fmt: skip
    return [
        _record.c.organisation == organisation, _record.c.kind == "certificate", is_finished(),
        not_(is_replaced()), not_(is_void()), whole,
    ]  # fmt: skip


def _stored(connection: Connection, organisation: int, records: Sequence[int]) -> list[Stored]:
    payload = tables.payload
    query = select(
        payload.c.record, payload.c.name, payload.c.salt, payload.c.digest, payload.c.body
    ).where(
        payload.c.organisation == organisation, payload.c.record.in_(records),
        payload.c.name.in_(("job", "report")),
    )  # fmt: skip
    rows: dict[int, list[Row]] = {record: [] for record in records}
    for row in connection.execute(query):
        rows[row.record].append(row)
    whole = {record: bodies.read(connection, own) for record, own in rows.items()}
    return [Stored(record, one.get("job") or b"", one.get("report") or b"") for record, one in whole.items()]


def _erased(connection: Connection, organisation: int, records: list[int]) -> set[int]:
    payload = tables.payload
    query = select(payload.c.record).where(
        payload.c.organisation == organisation, payload.c.record.in_(records), payload.c.name == "job",
        payload.c.salt.is_(None),
    )  # fmt: skip
    return set(connection.execute(query).scalars())


def _unfinished(connection: Connection, organisation: int) -> Recheck | None:
    query = select(_run).where(_run.c.organisation == organisation, _run.c.finished_at.is_(None))
    row = connection.execute(query.order_by(_run.c.id.desc()).limit(1)).first()
    return Recheck(**row._mapping) if row else None


def _read(connection: Connection, organisation: int, run: int) -> Recheck:
    query = select(_run).where(_run.c.organisation == organisation, _run.c.id == run)
    row = connection.execute(query).first()
    if row is None:
        raise NotFound("No such recheck.")
    return Recheck(**row._mapping)


def _close(connection: Connection, run: Recheck, person: int, now: str, state: str) -> None:
    this = (_run.c.organisation == run.organisation, _run.c.id == run.id)
    connection.execute(update(_run).where(*this).values(finished_at=now))
    faults.at("after_recheck_end")
    told = {
        "recheck": run.id, "state": state, "total": run.total, "looked": run.looked,
        "differing": run.differing, "failed": run.failed,
    }  # fmt: skip
    log.append(connection, run.organisation, "recheck", now, person, None, told)


def _turned(row: Row) -> Turned:
    facts = json.loads(row.facts) if row.facts else {}
    what = json.loads(row.what)
    return Turned(row.record, row.number, row.issued_at, facts.get("address", ""), row.change, what)
