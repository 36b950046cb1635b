"""What a sweep asks, as conditions on records: model, serials, tank, place, finding and days of the work."""

from datetime import date

from sqlalchemy import (
    ColumnElement,
    CompoundSelect,
    Connection,
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
from heaterapp.archive import office_tables, tables
from heaterapp.archive.dialect import bytewise
from heaterapp.archive.errors import Invalid
from heaterapp.archive.find import FIRST_DAY, LAST_DAY
from heaterapp.archive.organisations import zone_of
from heaterapp.archive.standing import is_finished, is_replaced
from heaterapp.archive.sweep_shapes import Sought, serial_range
from heaterapp.archive.sweeping import ADVICE, SOUGHT, folded

VERDICTS = (*SOUGHT, ADVICE)
LAST_CHARACTER = "\U0010ffff"
DIGITS = "0123456789"
_sweep, _found, _record = office_tables.sweep, office_tables.sweep_finding, tables.record


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


def narrowed(connection: Connection, query: Select, organisation: int, sought: Sought) -> Select:
    """Return a query over records and their sweep rows with what is sought. Raises Invalid."""
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
