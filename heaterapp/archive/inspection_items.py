"""An inspector's items: read, checked, told in words; mended only when somebody says so, never by a paper."""

from __future__ import annotations

import json
from collections.abc import Sequence
from dataclasses import asdict, replace

from sqlalchemy import Connection, Row, select, update

from heaterapp.archive import bodies, checking, office_tables, tables
from heaterapp.archive.canonical import canonical
from heaterapp.archive.desk_rows import inspections_of
from heaterapp.archive.desk_shapes import Inspection, Item
from heaterapp.archive.errors import Invalid

_table = office_tables.inspection
MOST_ITEMS, LONGEST_ITEM, LONGEST_CHECK = 40, 500, 100


def note_met(connection: Connection, organisation: int, job_id: str, record: int, report: bytes) -> None:
    """Note at items that did not meet before that their checks meet in a report that is being issued.

    Nothing is mended by it, and the row's revision stays: nobody's page is out of date.
    """
    waiting = [row for row in inspections_of(connection, organisation, job_id) if row.asked != "[]"]
    met = _meeting(report) if waiting else None
    if met is None:
        return
    for row in waiting:
        items = [
            replace(one, met_by=record if one.check in met else None) if one.met_before is False else one
            for one in shape_of(row).items
        ]
        connection.execute(update(_table).where(_table.c.id == row.id).values(asked=items_text(items)))


def as_inspected(connection: Connection, organisation: int, job_id: str, items: list[Item]) -> list[Item]:
    """Return items with whether each check met in the job's newest paper: the one that was inspected."""
    if not any(item.check for item in items):
        return items
    record, payload = tables.record, tables.payload
    of_job = (record.c.organisation == organisation, record.c.job_id == job_id)
    newest = select(record.c.id).where(*of_job).order_by(record.c.id.desc()).limit(1)
    stood = connection.execute(newest).scalar()
    this = (payload.c.organisation == organisation, payload.c.record == stood, payload.c.name == "report")
    held = bodies.read(connection, connection.execute(select(payload).where(*this))) if stood else {}
    met = _meeting(held.get("report") or b"")
    if met is None:
        return items
    return [replace(one, met_before=one.check in met) if one.check else one for one in items]


def _meeting(report: bytes) -> set[str] | None:
    try:
        return {one["check"] for one in json.loads(report)["findings"] if one["verdict"] == "meets"}
    except (ValueError, KeyError, TypeError):
        return None


def second_visit_words(row: Row, longest: int) -> str:
    """Say which of the inspector's items the second visit mended and which are open, cut where too long.

    longest  characters
    """
    items = shape_of(row).items
    still, mended = ([one for one in items if one.open is wanted] for wanted in (True, False))
    parts = [f"Second visit after the inspection of {row.result_on}"]
    # What is still open first: it is what must not be lost where the words are cut.
    for word, some in (("Still open", still), ("Mended", mended)):
        named = "; ".join((one.text or _called(one.check)).rstrip(". ") for one in some)
        parts += [f"{word}: {named}"] if named else []
    text = ". ".join(parts)
    return text if len(text) <= longest else f"{text[: longest - 3].rstrip()}..."


def _called(check: str) -> str:
    topic, _, rest = check.replace("_", " ").partition(".")
    return f"{topic.capitalize()}: {rest}"


def shape_of(row: Row) -> Inspection:
    """Return an inspection's row as it is told."""
    items = tuple(
        Item(
            one["check"], one["text"], one["who"], one["fixed_on"], one.get("met_by"), one.get("fixed_by"),
            one.get("said", ""), one.get("met_before"), one.get("accepted_on", ""),
        )
        for one in json.loads(row.asked)
    )  # fmt: skip
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
        accepted_on = checking.iso_date("accepted_on", one.accepted_on)
        who, said = checking.line("who", one.who, 200), checking.line("said", one.said, LONGEST_ITEM)
        words = {"check": check, "text": text, "who": who, "said": said}
        kept.append(replace(one, **words, fixed_on=fixed_on, accepted_on=accepted_on))
    return kept


def items_text(items: Sequence[Item]) -> str:
    return canonical([asdict(item) for item in items])
