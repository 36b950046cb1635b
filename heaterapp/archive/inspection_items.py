"""An inspector's items: read from an inspection's row, checked, marked as met by what is issued later."""

from __future__ import annotations

import json
from collections.abc import Sequence

from sqlalchemy import Connection, Row, update

from heaterapp.archive import checking, office_tables
from heaterapp.archive.canonical import canonical
from heaterapp.archive.desk_rows import inspections_of
from heaterapp.archive.desk_shapes import Inspection, Item
from heaterapp.archive.errors import Invalid

_table = office_tables.inspection
MOST_ITEMS, LONGEST_ITEM, LONGEST_CHECK = 40, 500, 100


def note_met(connection: Connection, organisation: int, job_id: str, record: int, report: bytes) -> None:
    """Mark the items whose checks meet in a report that is being issued, and unmark those that do not."""
    waiting = [row for row in inspections_of(connection, organisation, job_id) if row.asked != "[]"]
    if not waiting:
        return
    try:
        findings = json.loads(report)["findings"]
        met = {one["check"] for one in findings if one["verdict"] == "meets"}
    except (ValueError, KeyError, TypeError):
        return
    for row in waiting:
        items = [
            Item(one.check, one.text, one.who, one.fixed_on, record if one.check in met else None)
            if one.check
            else one
            for one in shape_of(row).items
        ]
        left = sum(item.open for item in items)
        values = {"asked": items_text(items), "open_items": left, "revision": row.revision + 1}
        connection.execute(update(_table).where(_table.c.id == row.id).values(**values))


def shape_of(row: Row) -> Inspection:
    """Return an inspection's row as it is told."""
    items = tuple(
        Item(one["check"], one["text"], one["who"], one["fixed_on"], one.get("met_by"))
        for one in json.loads(row.asked)
    )
    return Inspection(
        id=row.id,
        job_id=row.job_id,
        booked_for=row.booked_for,
        result=row.result,
        result_on=row.result_on,
        revision=row.revision,
        facts=json.loads(row.facts),
        items=items,
    )


def checked_items(items: Sequence[Item]) -> list[Item]:
    if len(items) > MOST_ITEMS:
        raise Invalid("items", f"at most {MOST_ITEMS}")
    kept = []
    for one in items:
        check = checking.line("check", one.check, LONGEST_CHECK)
        text = checking.line("text", one.text, LONGEST_ITEM, empty=bool(check))
        fixed_on = checking.iso_date("fixed_on", one.fixed_on)
        kept.append(Item(check, text, checking.line("who", one.who, 200), fixed_on, one.met_by))
    return kept


def items_text(items: Sequence[Item]) -> str:
    return canonical([
        {"check": i.check, "text": i.text, "who": i.who, "fixed_on": i.fixed_on, "met_by": i.met_by}
        for i in items
    ])  # fmt: skip
