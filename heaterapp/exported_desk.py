"""What the desk keeps of a job, as it leaves the archive: columns, lists, a row for each inspector's item."""

from __future__ import annotations

from collections.abc import Iterable, Iterator, Mapping, Sequence
from datetime import date
from decimal import Decimal, InvalidOperation
from typing import Any

from heaterapp import sheet_rows
from heaterapp.archive import Taken
from heaterapp.archive.desk_shapes import RESULTS, Inspection
from heaterapp.archive.export_shapes import DESK, Draft

Desk = Mapping[str, str | None]
Visits = Sequence[Inspection]
HEADS = (*(f"desk_{name}" for name in DESK), "desk_inspections")
FACTS = ("window", "contact", "phone", "adult", "note", "inspector", "said", "final")
ITEM = ("check", "text", "who", "fixed_on", "said", "accepted_on")
VISIT_HEADS = (
    "number", "job_id", "booked_for", "result", "result_on", *FACTS, "open_items", "item",
    *(f"item_{name}" for name in ITEM),
)  # fmt: skip
DATES = ("_on", "_for", "_since")
NUMBERS = ("job_value_usd",)


def told(desk: Desk, visits: Visits) -> dict[str, Any]:
    """Return `desk` and `inspections` of a record, as the schema describes them."""
    return {
        "desk": {name: desk.get(name) or None for name in DESK},
        "inspections": [_visit(one) for one in visits],
    }


def schema() -> dict[str, Any]:
    """Return what the JSON Schema says of `desk` and `inspections`."""
    maybe = {"type": ["string", "null"]}
    day = {"type": "string", "format": "date"}
    maybe_day = {"anyOf": [day, {"type": "null"}]}
    item = {name: maybe_day if name.endswith(DATES) else maybe for name in ITEM}
    visit = {
        "booked_for": day,
        "result": {"enum": ["booked", *RESULTS]},
        "result_on": maybe_day,
        **dict.fromkeys(FACTS, maybe),
        "items": {"type": "array", "items": closed(item)},
    }
    return {
        "desk": closed({name: maybe_day if name.endswith(DATES) else maybe for name in DESK}),
        "inspections": {"type": "array", "items": closed(visit)},
    }


def closed(properties: dict[str, Any]) -> dict[str, Any]:
    """Return the schema of an object that has just these, all of them."""
    return {
        "type": "object",
        "properties": properties,
        "required": list(properties),
        "additionalProperties": False,
    }


def cells(desk: Desk, visits: Visits) -> Iterator[sheet_rows.Cell]:
    """Give a row's cells under HEADS."""
    yield from (_cell(name, desk.get(name)) for name in DESK)
    yield len(visits)


def visit_rows(records: Iterable[Taken | Draft]) -> Iterator[list[sheet_rows.Cell]]:
    """Give the rows under VISIT_HEADS; a job of several papers once, by the first of them that comes."""
    seen: set[str] = set()
    for one in records:
        number, job = ("", one.job_id) if isinstance(one, Draft) else (one.hit.number, one.hit.job_id)
        # An erased one tells nothing; another of its job may.
        if job in seen or not one.inspections:
            continue
        seen.add(job)
        for visit in one.inspections:
            open_items = len(visit.open_items)
            held = [visit.facts.get(name) or None for name in FACTS]
            days = [_cell("booked_for", visit.booked_for), visit.result, _cell("result_on", visit.result_on)]
            for at, item in enumerate(visit.items or (None,), 1):
                own = [_cell(name, getattr(item, name)) for name in ITEM] if item else [None] * len(ITEM)
                place = at if item else None
                yield [number or None, job, *days, *held, open_items, place, *own]


def _visit(one: Inspection) -> dict[str, Any]:
    return {
        "booked_for": one.booked_for,
        "result": one.result,
        "result_on": one.result_on,
        **{name: one.facts.get(name) or None for name in FACTS},
        "items": [{name: getattr(item, name) or None for name in ITEM} for item in one.items],
    }


def _cell(name: str, said: str | None) -> sheet_rows.Cell:
    if not said:
        return None
    if name.endswith(DATES):
        return date.fromisoformat(said)
    try:
        number = Decimal(said) if name in NUMBERS else None
    except InvalidOperation:
        return said
    return number if number is not None and number.is_finite() else said
