"""Jobs at the desk that a sweep would find had they a paper: the heater hangs, and nobody has signed yet.

Drafts are few beside records: their answers are read as they are, by the marks that a record would get.
"""

import json
from collections.abc import Iterator, Mapping
from decimal import Decimal, InvalidOperation
from typing import Any

from sqlalchemy import Connection, Row, and_, select

from heaterapp.archive import office_tables, tables
from heaterapp.archive.sweep_shapes import Sought, Swept, serial_range
from heaterapp.archive.sweeping import Marks, folded, marks_of

DIGITS = "0123456789"
_line, _job, _desk = office_tables.desk_line, tables.job, office_tables.desk
_drafts = (
    select(_line, _job.c.answers, _desk.c.facts)
    .join(_job, and_(_job.c.organisation == _line.c.organisation, _job.c.id == _line.c.job_id))
    .outerjoin(_desk, and_(_desk.c.organisation == _line.c.organisation, _desk.c.job_id == _line.c.job_id))
    .where(_line.c.state == "draft")
    .order_by(_line.c.opened_at.desc(), _line.c.job_id.desc())
)


def unsigned(connection: Connection, organisation: int, sought: Sought) -> Iterator[Swept]:
    """Give the drafts that fit, the newest opened first; none where a finding is sought: they have none yet.

    One that was opened again is among them, whatever paper it had. raises Invalid as a sweep does.
    """
    low, high = serial_range(sought)
    if sought.check or sought.verdict or not sought.asks:
        return
    for row in connection.execute(_drafts.where(_line.c.organisation == organisation)):
        marks = marks_of(row.answers.encode())
        if _fits(marks, row.day or "", sought, low, high):
            yield _swept(row, marks)


def _fits(marks: Marks, day: str, sought: Sought, low: str, high: str) -> bool:
    return (
        _model(marks, folded(sought.model))
        and _serial(marks["serial"], low, high, sought.serial_ends and sought.digits_alone)
        and (not sought.expansion_tank or _same_size(marks["expansion_tank"], sought.expansion_tank))
        and (not sought.place or marks["place"] == sought.place)
        # A day that nobody has told yet keeps no heater out of a recall.
        and (not day or (sought.day_from or day) <= day <= (sought.day_to or day))
    )


def _model(marks: Marks, typed: str) -> bool:
    maker, model = marks["maker"], marks["model"]
    if not typed or model.startswith(typed) or maker.startswith(typed):
        return True
    return bool(maker) and typed.startswith(maker) and model.startswith(typed[len(maker) :])


def _serial(serial: str, low: str, high: str, ends: bool) -> bool:
    if not low:
        return True
    if not ends:
        return len(serial) == len(low) and low <= serial <= high
    run = serial[len(serial.rstrip(DIGITS)) :]
    return bool(run) and low <= ("0" * len(low) + run)[len(run) :] <= high


def _same_size(one: str, other: str) -> bool:
    try:
        return Decimal(one) == Decimal(other)
    except InvalidOperation:
        return False


def _swept(row: Row, marks: Marks) -> Swept:
    answers: Mapping[str, Any] = json.loads(row.answers)
    known: Mapping[str, Any] = json.loads(row.facts) if row.facts else {}
    # Towns and codes as papers have them; a list at the desk leaves them out.
    rest = " ".join(str(answers.get(name) or "") for name in ("address_state", "address_zip")).strip()
    heater = [str(answers.get(name) or "") for name in ("heater_maker", "heater_model")]
    return Swept(
        record=0, number="", kind="", job_id=row.job_id, issued_at=row.opened_at, worked_on=row.day or "",
        address=", ".join(filter(None, (row.address, rest))), owner=row.owner,
        model=" ".join(filter(None, heater)), serial=str(answers.get("heater_serial") or ""),
        expansion_tank=marks["expansion_tank"], at_desk=True, **told_of(known),
    )  # fmt: skip


def told_of(known: Mapping[str, Any]) -> dict[str, str]:
    """Return whom the desk knows at a house: the contact, and who owns it by now."""
    names = {
        "contact": "contact_name", "phone": "contact_phone", "email": "contact_email",
        "owner_now": "present_owner", "owner_now_phone": "present_owner_phone",
        "owner_now_since": "present_owner_since",
    }  # fmt: skip
    return {name: str(known.get(fact) or "") for name, fact in names.items()}
