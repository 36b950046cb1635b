"""One inspection's row in a caller's transaction: opened, written, logged beside the job's row."""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from dataclasses import replace
from datetime import date, timedelta
from typing import Any

from sqlalchemy import Connection, Row, select, update

from heaterapp.archive import checking, faults, log, office_tables
from heaterapp.archive.desk_rows import changed, changes_of, inspections_of, row_of
from heaterapp.archive.desk_shapes import OPEN_RESULTS, Clash, DeskConflict, Inspection, Item
from heaterapp.archive.errors import Invalid, NotFound
from heaterapp.archive.inspection_items import checked_items, items_text, shape_of
from heaterapp.archive.people import read_person

_table = office_tables.inspection
ACT = "inspection"
EARLIEST_DAYS = 60
"""How many days before the one that was booked an inspector may have come."""


def refuse_too_early(day: str, row: Row, desk: Row) -> None:
    if desk.permit_issued_on and day < desk.permit_issued_on:
        raise Invalid("result_on", f"a day not before the permit was issued, {desk.permit_issued_on}")
    first = date.fromisoformat(row.booked_for) - timedelta(days=EARLIEST_DAYS)
    if day < first.isoformat():
        said = f"a day at most {EARLIEST_DAYS} days before the one it is booked for, {row.booked_for}"
        raise Invalid("result_on", said)


def by_whom(before: Item | None, now: Item, person: int) -> Item:
    if not now.fixed_on:
        return replace(now, fixed_by=None)
    same = before is not None and before.fixed_on == now.fixed_on
    return replace(now, fixed_by=before.fixed_by if before is not None and same else person)


def existing(connection: Connection, organisation: int, inspection: int) -> Row:
    this = (_table.c.organisation == organisation, _table.c.id == inspection)
    row = connection.execute(select(_table).where(*this).with_for_update()).first()
    if row is None:
        raise NotFound("No such inspection.")
    return row


def open_row(
    connection: Connection, organisation: int, person: int, inspection: int, revision: int | None
) -> tuple[Row, Row]:
    log.lock(connection, organisation)
    read_person(connection, organisation, person)
    row = existing(connection, organisation, inspection)
    desk = row_of(connection, organisation, row.job_id)
    if revision is not None and revision != row.revision:
        last = next((one for one in changes_of(desk)[::-1] if one.inspection == inspection), None)
        by, at = (last.by, last.at) if last else (None, "")
        raise DeskConflict({"inspection": Clash(row.result, "", by, at)}, row.revision, desk.revision)
    return desk, row


def write(
    connection: Connection, row: Row, now: str, asked: Sequence[Item] | None = None, **values: Any
) -> None:
    if asked is not None:
        values |= {"asked": items_text(asked), "open_items": sum(item.open for item in asked)}
    changes = update(_table).where(_table.c.organisation == row.organisation, _table.c.id == row.id)
    connection.execute(changes.values(revision=row.revision + 1, updated_at=now, **values))


def done(
    connection: Connection,
    desk: Row,
    now: str,
    person: int,
    inspection: int,
    what: str,
    names: Mapping[str, tuple[Any, Any]],
    reason: str = "",
) -> Inspection:
    changed(connection, desk, now, person, names, inspection=inspection, reason=reason)
    faults.at("after_inspection")
    row = existing(connection, desk.organisation, inspection)
    body = {"job": desk.job_id, "inspection": inspection, "what": what, "revision": row.revision}
    words = {"reason": reason} if reason else {}
    log.append(connection, desk.organisation, ACT, now, person, None, body, words, desk.job_id)
    faults.at("after_inspection_log")
    return shape_of(row)


def day_of(field: str, value: object) -> str:
    day = checking.iso_date(field, value)
    if not day:
        raise Invalid(field, "a date such as 2026-03-14")
    return day


def checked_facts(facts: Mapping[str, Any], longest: Mapping[str, int]) -> dict[str, str]:
    """Return facts as they are kept, each a line of at most so many characters. Raises Invalid."""
    unknown = facts.keys() - longest.keys()
    if unknown:
        raise Invalid(min(map(str, unknown))[:60], "a fact of an inspection")
    return {name: checking.line(name, said or "", longest[name]) for name, said in facts.items()}


def refuse_before_found(row: Row, items: Sequence[Item]) -> None:
    """Refuse a day of mending before the inspection found what was to mend; what is kept already stays.

    raises  Invalid naming `fixed_on`
    """
    before = shape_of(row).items
    for at, item in enumerate(items):
        held = before[at].fixed_on if at < len(before) else ""
        if row.result_on and item.fixed_on and item.fixed_on != held and item.fixed_on < row.result_on:
            raise Invalid("fixed_on", f"a day not before it was found, {row.result_on}")


def settle(
    connection: Connection, desk: Row, now: str, person: int, became: Mapping[int, tuple[int, Sequence[Item]]]
) -> None:
    """Keep what a later inspection says of earlier ones' items, each as an act of its own.

    became  inspection -> the revision its page had, and its items as they stand now
    raises  NotFound, Invalid, DeskConflict
    """
    for number, (revision, items) in became.items():
        own, row = open_row(connection, desk.organisation, person, number, revision)
        if row.result not in OPEN_RESULTS or row.job_id != desk.job_id:
            raise Invalid("items", "those of an earlier inspection of this job that was not passed")
        keep_items(connection, own, row, now, person, items)


def keep_items(
    connection: Connection, desk: Row, row: Row, now: str, person: int, items: Sequence[Item]
) -> Inspection:
    """Write an inspection's items as they stand now, with whose word it is. Raises Invalid."""
    asked = checked_items(items)
    refuse_before_found(row, asked)
    before = dict(enumerate(shape_of(row).items))
    asked = [by_whom(before.get(at), item, person) for at, item in enumerate(asked)]
    write(connection, row, now, asked=asked)
    left = sum(item.open for item in asked)
    return done(connection, desk, now, person, row.id, "items", {"open_items": (row.open_items, left)})


def take_back_accepted(connection: Connection, desk: Row, row: Row, now: str, person: int) -> None:
    """Open again what an inspector accepted at an inspection whose result is taken back."""
    for other in inspections_of(connection, desk.organisation, desk.job_id):
        items = shape_of(other).items
        if other.id != row.id and any(one.accepted_on == row.result_on for one in items):
            again = [
                replace(one, accepted_on="") if one.accepted_on == row.result_on else one for one in items
            ]
            own = row_of(connection, desk.organisation, desk.job_id)
            keep_items(connection, own, other, now, person, again)
