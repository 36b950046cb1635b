"""What is read of one part of a stored record alone, its report most of all."""

import json
from collections.abc import Mapping, Sequence
from typing import Any

from sqlalchemy import Connection, select

from heaterapp import firm_days
from heaterapp.archive import bodies, tables
from heaterapp.archive.hits import present_of_job

_payload = tables.payload


def books_cited(connection: Connection, organisation: int, record: int) -> tuple[str, ...]:
    """Return the books that a record's report cites, each once."""
    found = _findings(connection, organisation, record)
    books = (one.get("book") for one in found if one.get("confidence") != "practice")
    return tuple(dict.fromkeys(book for book in books if isinstance(book, str) and book))


def zone_kept(connection: Connection, organisation: int, record: int) -> str:
    """Return the name of the time zone that a record's paper tells its times by; UTC where it kept none."""
    kept = _part(connection, organisation, record, "context").get("organisation")
    settings = kept.get("settings") if isinstance(kept, dict) else None
    return firm_days.zone_of(settings if isinstance(settings, dict) else {}).key


def hazard_stands(connection: Connection, organisation: int, job_id: str) -> bool:
    """Say whether the paper of a job that stands now has a hazard that nobody's word makes good."""
    present = present_of_job(connection, organisation, job_id)
    found = _findings(connection, organisation, present.record) if present is not None else ()
    return any(one.get("hazard") and one.get("verdict") == "fails" for one in found)


def _findings(connection: Connection, organisation: int, record: int) -> Sequence[Mapping[str, Any]]:
    """Return the findings of a record's report; none of one erased, or written otherwise by other rules."""
    found = _part(connection, organisation, record, "report").get("findings")
    return [one for one in found if isinstance(one, dict)] if isinstance(found, list) else []


def _part(connection: Connection, organisation: int, record: int, name: str) -> Mapping[str, Any]:
    query = select(_payload).where(
        _payload.c.organisation == organisation, _payload.c.record == record, _payload.c.name == name
    )
    stored = connection.execute(query).first()
    body = bodies.read(connection, [stored])[name] if stored is not None else None
    try:
        told = json.loads(body) if body is not None else {}
    except (ValueError, RecursionError):
        told = {}
    return told if isinstance(told, dict) else {}
