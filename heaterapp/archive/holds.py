"""Legal holds: while one stands on a job, nothing of it is erased, by no rule and on nobody's request."""

from dataclasses import dataclass
from typing import Any

from sqlalchemy import Connection, Row, func, insert, select, update

from heaterapp.archive import checking, faults, log, office_tables, said, tables
from heaterapp.archive.database import Database
from heaterapp.archive.errors import NotFound, UnderHold
from heaterapp.archive.jobs import read_job
from heaterapp.archive.one_firm import rows_of
from heaterapp.archive.people import read_person
from heaterapp.archive.shapes import Fault

PLACED = ("organisation", "job_id", "placed_at", "placed_by", "reason")
LIFTED = ("lifted_at", "lifted_by", "lifted_reason")
_table = office_tables.hold


@dataclass(frozen=True)
class Hold:
    """One hold on a job; `lifted_at` is None while it stands."""

    id: int
    organisation: int
    job_id: str
    placed_at: str
    placed_by: int
    reason: str
    lifted_at: str | None
    lifted_by: int | None
    lifted_reason: str | None


class Holds:
    """The only writer of holds; placing and lifting stand in the log."""

    def __init__(self, database: Database):
        self._database = database

    def place(self, organisation: int, job_id: str, person: int, reason: str) -> Hold:
        """Put a job on hold. Several may stand at once. Raises NotFound, Invalid."""
        return self._place(organisation, job_id, person, checking.reason(reason), person)

    def place_again(self, organisation: int, job_id: str, person: int, reason: str) -> Hold:
        """Place after a restore, as the program, a hold that `person` had placed. Raises NotFound."""
        return self._place(organisation, job_id, person, reason, None)

    def _place(self, organisation: int, job_id: str, person: int, kept: str, actor: int | None) -> Hold:
        now = self._database.now()
        with self._database.write() as connection:
            log.lock(connection, organisation)
            faults.at("hold_begun")
            read_person(connection, organisation, person)
            job = read_job(connection, organisation, job_id)
            told = {"job_id": job.id, "placed_at": now, "placed_by": person, "reason": kept}
            made = connection.execute(insert(_table).values(organisation=organisation, **told))
            row = connection.execute(select(_table).where(_table.c.id == made.inserted_primary_key[0])).one()
            faults.at("after_hold_row")
            newest = newest_record(connection, organisation, job.id)
            body = {"hold": row.id, "organisation": organisation, **told}
            words = {"reason": body.pop("reason")}
            log.append(connection, organisation, "hold", now, actor, newest, body, words, job.id)
            faults.at("after_hold_log")
        faults.at("hold_committed")
        return _shape(row)

    def lift(self, organisation: int, hold: int, person: int, reason: str) -> Hold:
        """Lift a hold; one that is lifted stays as it is. Raises NotFound, Invalid."""
        return self._lift_as(organisation, hold, person, checking.reason(reason))

    def lift_again(self, organisation: int, hold: int, reason: str) -> Hold:
        """Lift after a restore, as the program, a hold that the backup still has. Raises NotFound."""
        return self._lift_as(organisation, hold, None, reason)

    def _lift_as(self, organisation: int, hold: int, person: int | None, kept: str) -> Hold:
        now = self._database.now()
        this = (_table.c.organisation == organisation, _table.c.id == hold)
        with self._database.write() as connection:
            log.lock(connection, organisation)
            faults.at("lift_begun")
            if person is not None:
                read_person(connection, organisation, person)
            row = connection.execute(select(_table).where(*this)).first()
            if row is None:
                raise NotFound("No such hold.")
            if row.lifted_at is not None:
                return _shape(row)
            _lift(connection, now, row, person, kept)
            answer = _shape(connection.execute(select(_table).where(*this)).one())
        faults.at("lift_committed")
        return answer

    def of_job(self, organisation: int, job_id: str) -> list[Hold]:
        """Return every hold of a job, lifted ones too, newest first."""
        query = select(_table).where(_table.c.organisation == organisation, _table.c.job_id == job_id)
        with self._database.read() as connection:
            return [_shape(row) for row in connection.execute(query.order_by(_table.c.id.desc()))]


def lift_all(connection: Connection, now: str, organisation: int, job_id: str, reason: str) -> None:
    """Lift every hold on a job as the program, in the caller's transaction."""
    standing = select(_table).where(
        _table.c.organisation == organisation, _table.c.job_id == job_id, _table.c.lifted_at.is_(None)
    )
    for row in connection.execute(standing.order_by(_table.c.id)).all():
        _lift(connection, now, row, None, reason)


def _lift(connection: Connection, now: str, row: Row, person: int | None, reason: str) -> None:
    told = {"lifted_at": now, "lifted_by": person}
    this = (_table.c.organisation == row.organisation, _table.c.id == row.id)
    connection.execute(update(_table).where(*this).values(lifted_reason=reason, **told))
    faults.at("after_lift_row")
    newest = newest_record(connection, row.organisation, row.job_id)
    body, words = {"hold": row.id, **told}, {"reason": reason}
    log.append(connection, row.organisation, "hold_lifted", now, person, newest, body, words, row.job_id)
    faults.at("after_lift_log")


def newest_record(connection: Connection, organisation: int, job_id: str) -> int | None:
    record = tables.record
    newest = select(func.max(record.c.id)).where(
        record.c.organisation == organisation, record.c.job_id == job_id
    )
    found: int | None = connection.execute(newest).scalar()
    return found


def refuse_held(connection: Connection, organisation: int, job_id: str) -> None:
    """Raise UnderHold, naming the oldest hold that stands on the job."""
    standing = select(_table).where(
        _table.c.organisation == organisation, _table.c.job_id == job_id, _table.c.lifted_at.is_(None)
    )
    row = connection.execute(standing.order_by(_table.c.id).limit(1)).first()
    if row is not None:
        raise UnderHold(row.placed_at, row.reason)


def forget_reasons(connection: Connection, organisation: int, job_id: str) -> None:
    """Empty the reasons of a job's holds, all lifted, for its erasure."""
    mine = (_table.c.organisation == organisation, _table.c.job_id == job_id)
    connection.execute(update(_table).where(*mine).values(reason="", lifted_reason=""))


class Vouched:
    """What the log says of holds, for `verify`."""

    def __init__(self) -> None:
        self._placed: dict[int, dict[str, Any]] = {}
        self._lifted: dict[int, dict[str, Any]] = {}

    def note(self, entry: Any, body: dict[str, Any]) -> None:
        """Take one entry of the log."""
        if entry.act in ("hold", "hold_lifted"):
            kept = self._placed if entry.act == "hold" else self._lifted
            kept[body.get("hold", 0)] = {**body, "at": (entry.organisation, entry.seq)}

    def check(
        self, connection: Connection, faults_found: list[Fault], only: int | None = None
    ) -> None:
        """Hold every row against it, and name what is missing, added or changed."""
        seen = set()
        every = [*self._placed.values(), *self._lifted.values()]
        words = said.words_of(connection, [body["at"] for body in every])
        for name, bodies in (("reason", self._placed), ("lifted_reason", self._lifted)):
            for body in bodies.values():
                body[name] = words.get(body["at"], {}).get("reason")
        for row in connection.execute(rows_of(_table, only)):
            placed, lifted = self._placed.get(row.id), self._lifted.get(row.id, {})
            if placed is None:
                faults_found.append(Fault("hold", f"hold {row.id}", "id", "is not in the log"))
                continue
            seen.add(row.id)
            wrong = [name for name in PLACED if getattr(row, name) != placed.get(name)]
            wrong += [name for name in LIFTED if getattr(row, name) != lifted.get(name)]
            faults_found += [Fault("hold", f"hold {row.id}", name, "differs from the log") for name in wrong]
        for gone in self._placed.keys() - seen:
            faults_found.append(Fault("hold", f"hold {gone}", "id", "missing"))


def _shape(row: Row) -> Hold:
    return Hold(**{name: getattr(row, name) for name in Hold.__dataclass_fields__})
