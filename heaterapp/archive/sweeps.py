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
from datetime import date
from typing import Any

from sqlalchemy import (
    ColumnElement,
    CompoundSelect,
    Connection,
    Row,
    Select,
    and_,
    func,
    literal,
    not_,
    or_,
    select,
    union,
)

from heaterapp import firm_days
from heaterapp.archive import checking, faults, log, office_tables, tables
from heaterapp.archive.columns import LARGEST_WHOLE
from heaterapp.archive.database import Database
from heaterapp.archive.dialect import bytewise
from heaterapp.archive.errors import Invalid
from heaterapp.archive.find import FIRST_DAY, LAST_DAY
from heaterapp.archive.organisations import zone_of
from heaterapp.archive.people import read_person
from heaterapp.archive.standing import is_finished, is_replaced, is_void
from heaterapp.archive.sweep_shapes import Sought, Swept
from heaterapp.archive.sweeping import ADVICE, SOUGHT, folded

ACT = "sweep"
FORMS = ("letters", "list")
VERDICTS = (*SOUGHT, ADVICE)
LARGEST_PAGE = 1000
LAST_CHARACTER = "\U0010ffff"
DIGITS = "0123456789"
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
            query = _where(connection, _lines(), organisation, sought).where(_record.c.id < behind)
            rows = connection.execute(query.order_by(_record.c.id.desc()).limit(limit + 1)).all()
        return [_swept(row) for row in rows[:limit]], rows[limit - 1].id if len(rows) > limit else None

    def count(self, organisation: int, sought: Sought, void: bool = False) -> int:
        """Return how many there are; with `void` how many of them have a void paper. Raises Invalid."""
        with self._database.read() as connection:
            joined = _record.join(_sweep, _sweep.c.record == _record.c.id)
            query = _where(connection, select(func.count()).select_from(joined), organisation, sought)
            query = query.where(is_void()) if void else query
            return int(connection.execute(query).scalar_one())

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
        query = _where(connection, newest, organisation, one).group_by(_record.c.job_id)
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


def serial_range(sought: Sought) -> tuple[str, str]:
    """Return the ends of the range of serials as they are compared, one alone as both. Raises Invalid."""
    low, high = folded(sought.serial_from), folded(sought.serial_to)
    for name, end, typed in (
        ("serial_from", low, sought.serial_from), ("serial_to", high, sought.serial_to),
    ):  # fmt: skip
        if typed.strip() and not end:
            raise Invalid(name, "a serial number with letters or digits")
    if low and high and len(low) != len(high):
        said = f"a serial number of {len(low)} letters and digits, as long as the first one"
        raise Invalid("serial_to", said)
    if low and high and low > high:
        raise Invalid("serial_to", "a serial number not before the first one")
    return low or high, high or low


def refuse_unsought(sought: Sought) -> None:
    """Raise Invalid, naming the field, for what cannot be looked for."""
    if sought.model.strip() and not folded(sought.model):
        raise Invalid("model", "a model with letters or digits")
    serial_range(sought)
    if sought.verdict and sought.verdict not in VERDICTS:
        raise Invalid("verdict", f"one of {', '.join(VERDICTS)}")
    for name in ("day_from", "day_to"):
        typed = getattr(sought, name)
        if typed:
            _day(name, typed)


def _lines() -> Select:
    finding, desk = tables.finding, office_tables.desk
    same_job = and_(desk.c.organisation == _record.c.organisation, desk.c.job_id == _record.c.job_id)
    return (
        select(_record, _sweep, is_void().label("is_void"), finding.c.facts, desk.c.facts.label("desk_facts"))
        .join(_sweep, _sweep.c.record == _record.c.id)
        .outerjoin(finding, finding.c.record == _record.c.id)
        .outerjoin(desk, same_job)
    )


def _where(connection: Connection, query: Select, organisation: int, sought: Sought) -> Select:
    only = [_record.c.organisation == organisation, is_finished()]
    if sought.current:
        only.append(not_(is_replaced()))
    refuse_unsought(sought)
    model = folded(sought.model)
    # Beside the list the firm's own index would only tempt a planner to walk all of it.
    only += [] if model else [_sweep.c.organisation == organisation]
    if model:
        only.append(_sweep.c.record.in_(_with_model(connection, organisation, model)))
    ends = sought.serial_ends and sought.digits_alone
    only += (_ends_in if ends else _in_range)(connection, *serial_range(sought))
    only += [_sweep.c.expansion_tank == sought.expansion_tank] if sought.expansion_tank else []
    only += [_sweep.c.place == sought.place] if sought.place else []
    if sought.check or sought.verdict:
        amiss = [_found.c.organisation == organisation]
        amiss += [_found.c.check_name == sought.check] if sought.check else []
        amiss += [_found.c.verdict == sought.verdict] if sought.verdict else []
        # A list that the index gives at once, rather than a look for each record.
        only.append(_record.c.id.in_(select(_found.c.record).where(*amiss)))
    zone = zone_of(connection, organisation) if sought.day_from or sought.day_to else None
    if zone and sought.day_from:
        first = max(_day("day_from", sought.day_from), FIRST_DAY)
        issued = _record.c.issued_at >= firm_days.begin_of(first, zone)
        only.append(or_(_sweep.c.worked_on >= first.isoformat(), and_(_sweep.c.worked_on == "", issued)))
    if zone and sought.day_to:
        last = min(_day("day_to", sought.day_to), LAST_DAY)
        issued = _record.c.issued_at < firm_days.end_of(last, zone)
        done = and_(_sweep.c.worked_on != "", _sweep.c.worked_on <= last.isoformat())
        only.append(or_(done, and_(_sweep.c.worked_on == "", issued)))
    return query.where(*only)


def _with_model(connection: Connection, organisation: int, typed: str) -> CompoundSelect:
    """The records whose model begins so, or its maker's name and it: each way is one of an index."""

    def begins(column: ColumnElement, text: str) -> ColumnElement:
        column = bytewise(connection, column)
        return and_(column >= text, column < text + LAST_CHARACTER)

    maker, model = _sweep.c.maker, _sweep.c.model
    ways = [begins(model, typed), begins(maker, typed)]
    ways += [and_(maker == typed[:at], begins(model, typed[at:])) for at in range(1, len(typed))]
    return union(*(select(_sweep.c.record).where(_sweep.c.organisation == organisation, way) for way in ways))


def _in_range(connection: Connection, low: str, high: str) -> list[ColumnElement]:
    serial = bytewise(connection, _sweep.c.serial)
    return [func.length(_sweep.c.serial) == len(low), serial >= low, serial <= high] if low else []


def _ends_in(connection: Connection, low: str, high: str) -> list[ColumnElement]:
    """The conditions that a serial's last digits, as many as the ends have, lie between them."""
    kept = func.length(func.rtrim(_sweep.c.serial, DIGITS))
    run = func.substr(_sweep.c.serial, kept + 1)
    # As many zeros before it: a shorter number is compared as a number too.
    last = func.substr(literal("0" * len(low)) + run, func.length(run) + 1)
    some = func.length(_sweep.c.serial) > kept
    return [some, bytewise(connection, last) >= low, bytewise(connection, last) <= high]


def _day(name: str, typed: str) -> date:
    try:
        return date.fromisoformat(typed)
    except ValueError:
        raise Invalid(name, "a date such as 2026-03-14") from None


def _swept(row: Row) -> Swept:
    facts: Mapping[str, Any] = json.loads(row.facts) if row.facts else {}
    known: Mapping[str, Any] = json.loads(row.desk_facts) if row.desk_facts else {}
    said = {name: str(known.get(f"contact_{name}") or "") for name in ("name", "phone", "email")}
    return Swept(
        record=row.id, number=row.number, kind=row.kind, job_id=row.job_id, issued_at=row.issued_at,
        worked_on=row.worked_on, address=facts.get("address", ""), owner=facts.get("owner", ""),
        model=facts.get("model", ""), serial=facts.get("serial", ""), expansion_tank=row.expansion_tank,
        contact=said["name"], phone=said["phone"], email=said["email"],
        owner_now=str(known.get("present_owner") or ""),
        owner_now_phone=str(known.get("present_owner_phone") or ""),
        owner_now_since=str(known.get("present_owner_since") or ""), void=bool(row.is_void),
    )  # fmt: skip
