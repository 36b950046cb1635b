"""Sweeps: every address with this model, serial range, expansion tank or finding, newest record first.

A model is found by how it begins, with its maker's name before it or without; letters and digits alone count,
so `wh 40` finds `WH-40T`. A range of serials holds the serials of the same length as its ends that stand
between them, character for character, digits before letters: AB0100 to AB0199 holds AB0150, neither
AB150 nor AB01500. One end alone means exactly that serial. Ends of digits alone may be sought at the end of
serials instead, whatever stands before: 0100 to 0199 then holds AB0150 and 26-0150.

What was replaced stays out. A job whose newest paper is void has nothing current, but its heater still
hangs: it is in.
"""

import json
from collections.abc import Mapping
from typing import Any

from sqlalchemy import Connection, Row, Select, and_, func, select

from heaterapp.archive import checking, faults, log, office_tables, tables
from heaterapp.archive.columns import LARGEST_WHOLE
from heaterapp.archive.database import Database
from heaterapp.archive.people import read_person
from heaterapp.archive.standing import is_void
from heaterapp.archive.sweep_desk import told_of, unsigned
from heaterapp.archive.sweep_houses import by_house, house_of, present_of, with_present
from heaterapp.archive.sweep_shapes import Sought, Swept, serial_range
from heaterapp.archive.sweep_where import narrowed
from heaterapp.archive.sweeping import folded

ACT = "sweep"
FORMS = ("letters", "list")
LARGEST_PAGE = 1000
_sweep, _found, _record = office_tables.sweep, office_tables.sweep_finding, tables.record


class Sweeps:
    """Finds, counts, and writes down that letters or a list were made."""

    def __init__(self, database: Database):
        self._database = database

    def find(
        self, organisation: int, sought: Sought, after: int | None = None, limit: int = 50
    ) -> tuple[list[Swept], int | None]:
        """Return records, newest first, and what to give as `after` for the following ones, None at the end.

        limit   1 to 1000
        raises  Invalid, naming the field of `sought`
        """
        limit = max(1, min(limit, LARGEST_PAGE))
        # No row stands at the largest whole number: every one is behind it.
        behind = LARGEST_WHOLE if after is None else max(0, min(after, LARGEST_WHOLE))
        with self._database.read() as connection:
            query = narrowed(connection, _lines(), organisation, sought).where(_record.c.id < behind)
            rows = connection.execute(query.order_by(_record.c.id.desc()).limit(limit + 1)).all()
            found = [_swept(row) for row in rows[:limit]]
            found = found if sought.current else with_present(connection, organisation, found)
        return found, rows[limit - 1].id if len(rows) > limit else None

    def count(self, organisation: int, sought: Sought, void: bool = False) -> int:
        """Return how many there are; with `void` how many of them have a void paper. Raises Invalid."""
        with self._database.read() as connection:
            joined = _record.join(_sweep, _sweep.c.record == _record.c.id)
            query = narrowed(connection, select(func.count()).select_from(joined), organisation, sought)
            query = query.where(is_void()) if void else query
            return int(connection.execute(query).scalar_one())

    def at_desk(self, organisation: int, sought: Sought) -> list[Swept]:
        """Return the jobs at the desk that have no paper among those found. Raises Invalid."""
        with self._database.read() as connection:
            return _at_desk(connection, organisation, sought)

    def addresses(self, organisation: int, sought: Sought, at_desk: bool = False) -> int:
        """Return at how many addresses the papers are, or with `at_desk` the jobs without one too."""
        with self._database.read() as connection:
            houses = _houses(connection, organisation, sought).keys()
            found = _at_desk(connection, organisation, sought) if at_desk else []
        return len(houses | {house_of(one.address, one.job_id) for one in found})

    def houses(
        self,
        organisation: int,
        sought: Sought,
        at_desk: bool = False,
        after: int | None = None,
        limit: int = 50,
    ) -> tuple[list[list[Swept]], int | None]:
        """Return each house once with all that was found of it, and `after` for the following ones.

        at_desk  with the jobs of `at_desk`; those of no other house stand at the end
        limit    1 to 1000
        """
        limit = max(1, min(limit, LARGEST_PAGE))
        behind = LARGEST_WHOLE if after is None else max(0, min(after, LARGEST_WHOLE))
        with self._database.read() as connection:
            every = _houses(connection, organisation, sought)
            waiting: dict[str, list[Swept]] = {}
            for one in _at_desk(connection, organisation, sought) if at_desk else ():
                waiting.setdefault(house_of(one.address, one.job_id), []).append(one)
            some = [house for house, ids in every.items() if ids[0] < behind]
            chosen = some[:limit]
            ids = [record for house in chosen for record in every[house]]
            lines = {one.record: one for one in _lines_of(connection, organisation, ids)}
        found = [[*(lines[one] for one in every[house]), *waiting.get(house, ())] for house in chosen]
        if len(some) > limit:
            return found, every[chosen[-1]][0]
        return found + [jobs for house, jobs in waiting.items() if house not in every], None

    def checks(self, organisation: int) -> list[str]:
        """Return the names of all checks of which something was found amiss, sorted."""
        least = select(func.min(_found.c.check_name)).where(_found.c.organisation == organisation)
        names: list[str] = []
        with self._database.read() as connection:
            # From one name to the next by the index: there are a hundred names on millions of rows.
            while (name := connection.execute(least).scalar()) is not None:
                names.append(name)
                least = select(func.min(_found.c.check_name)).where(
                    _found.c.organisation == organisation, _found.c.check_name > name
                )
        return sorted(names)

    def note(self, organisation: int, person: int, form: str, sought: Sought, count: int) -> None:
        """Write down that somebody made letters or a list: by what it was sought and how many there were.

        The serial of one heater is of its job, so it is kept where the job's erasure takes it away.
        """
        told = {name: value for name, value in vars(sought).items() if isinstance(value, str) and value}
        told |= {"current": sought.current} | ({"serial_ends": True} if sought.serial_ends else {})
        body = {"form": checking.choice("form", form, FORMS), "sought": told, "count": count}
        now = self._database.now()
        # Before any lock: by the end of a serial every record of the firm may have to be read.
        with self._database.read() as connection:
            words, heaters = _apart(connection, organisation, sought)
        for name in words:
            del told[name]
        with self._database.write() as connection:
            log.lock(connection, organisation)
            faults.at("sweep_begun")
            read_person(connection, organisation, person)
            jobs = {}
            for name, (record, job) in heaters.items():
                if _stands(connection, organisation, record):
                    jobs[name] = job
                else:
                    # It was erased meanwhile.
                    words[name] = ""
            log.append(connection, organisation, ACT, now, person, None, body, words, jobs)
            faults.at("after_sweep_log")
        faults.at("sweep_committed")


def _apart(
    connection: Connection, organisation: int, sought: Sought
) -> tuple[dict[str, str], dict[str, tuple[int, str]]]:
    """Of the serials sought those of one heater, name -> as typed, and name -> its newest record and its job.

    A serial alone that is no job's, or several jobs', is left out of the log: an erasure may have taken
    it before, or could not take it from all of them. The end of a range that is nobody's serial stays.
    """
    typed = {name: getattr(sought, name) for name in ("serial_from", "serial_to")}
    low, high = serial_range(sought)
    words: dict[str, str] = {}
    heaters: dict[str, tuple[int, str]] = {}
    newest = select(func.max(_record.c.id), _record.c.job_id)
    newest = newest.select_from(_record.join(_sweep, _sweep.c.record == _record.c.id))
    for name, text in typed.items():
        if not folded(text):
            continue
        one = Sought(serial_from=text, serial_ends=sought.serial_ends, current=False)
        query = narrowed(connection, newest, organisation, one).group_by(_record.c.job_id)
        found = connection.execute(query.limit(2)).all()
        if len(found) == 1:
            words[name], heaters[name] = text, (found[0][0], found[0][1])
        elif low == high or found:
            words[name] = ""
    return words, heaters


def _stands(connection: Connection, organisation: int, record: int) -> bool:
    """Whether a record that was found before is still one that may be found: none is once it was erased."""
    this = select(_sweep.c.record).where(_sweep.c.organisation == organisation, _sweep.c.record == record)
    return connection.execute(this).first() is not None


def _at_desk(connection: Connection, organisation: int, sought: Sought) -> list[Swept]:
    found = list(unsigned(connection, organisation, sought))
    if not found:
        return []
    joined = select(_record.c.job_id).join(_sweep, _sweep.c.record == _record.c.id)
    query = narrowed(connection, joined, organisation, sought)
    on_paper: set[str] = set()
    for begin in range(0, len(found), LARGEST_PAGE):
        jobs = [one.job_id for one in found[begin : begin + LARGEST_PAGE]]
        on_paper |= set(connection.execute(query.where(_record.c.job_id.in_(jobs))).scalars())
    return [one for one in found if one.job_id not in on_paper]


def _houses(connection: Connection, organisation: int, sought: Sought) -> dict[str, list[int]]:
    """House -> the papers found of it, newest first; where it stands is what the job's newest paper says."""
    finding = tables.finding
    joined = (
        select(_record.c.id, _record.c.job_id, finding.c.facts)
        .join(_sweep, _sweep.c.record == _record.c.id)
        .outerjoin(finding, finding.c.record == _record.c.id)
    )
    query = narrowed(connection, joined, organisation, sought).order_by(_record.c.id.desc())
    rows = connection.execute(query).all()
    now = {} if sought.current else present_of(connection, organisation, {row.job_id for row in rows})
    told = (
        (row.id, row.job_id, now[row.job_id].address if row.job_id in now else _address(row.facts))
        for row in rows
    )
    return by_house(told)


def _address(facts: str | None) -> str:
    return str(json.loads(facts).get("address", "")) if facts else ""


def _lines_of(connection: Connection, organisation: int, ids: list[int]) -> list[Swept]:
    found: list[Swept] = []
    for begin in range(0, len(ids), LARGEST_PAGE):
        some = ids[begin : begin + LARGEST_PAGE]
        query = _lines().where(_record.c.organisation == organisation, _record.c.id.in_(some))
        found += [_swept(row) for row in connection.execute(query)]
    return with_present(connection, organisation, found)


def _lines() -> Select:
    finding, desk = tables.finding, office_tables.desk
    same_job = and_(desk.c.organisation == _record.c.organisation, desk.c.job_id == _record.c.job_id)
    return (
        select(_record, _sweep, is_void().label("is_void"), finding.c.facts, desk.c.facts.label("desk_facts"))
        .join(_sweep, _sweep.c.record == _record.c.id)
        .outerjoin(finding, finding.c.record == _record.c.id)
        .outerjoin(desk, same_job)
    )


def _swept(row: Row) -> Swept:
    facts: Mapping[str, Any] = json.loads(row.facts) if row.facts else {}
    known: Mapping[str, Any] = json.loads(row.desk_facts) if row.desk_facts else {}
    return Swept(
        record=row.id, number=row.number, kind=row.kind, job_id=row.job_id, issued_at=row.issued_at,
        worked_on=row.worked_on, address=facts.get("address", ""), owner=facts.get("owner", ""),
        model=facts.get("model", ""), serial=facts.get("serial", ""), expansion_tank=row.expansion_tank,
        void=bool(row.is_void), **told_of(known),
    )  # fmt: skip
