"""A job's line on the desk: what a list shows, filters and finds of it, kept beside every change of the job.

The desk reads these narrow rows alone: a job's own are some twenty times as long.
"""

from __future__ import annotations

import json
import re
from collections.abc import Mapping
from typing import Any

from sqlalchemy import ColumnElement, Connection, Table, and_, exists, insert, not_, or_, select, update

from heaterapp.archive import checking, office_tables, tables, words
from heaterapp.archive.canonical import canonical
from heaterapp.archive.errors import Invalid

_line, _desk = office_tables.desk_line, office_tables.desk
LONGEST_SHOWN = 1000
_BARE_UNIT = re.compile(r"\d+-?[A-Za-z]?|[A-Za-z]-?\d*", re.ASCII)
ADDRESS = ("address_street", "address_unit", "address_city")
TEXTS = ("address_street", "address_unit", "address_city", "address_state", "address_zip", "owner_name")
MARKS = ("job_ref", "permit_number", "heater_serial", "heater_model")
OWN_TEXTS = ("contact_name", "present_owner")
OWN_MARKS = ("permit_number", "parcel_no", "label_no", "contact_phone", "present_owner_phone")
READ = frozenset((*TEXTS, *MARKS, "heater_kind", "work_date", "permit_status"))
"""The answers that a line is made of."""


def words_of(answers: Mapping[str, Any], facts: Mapping[str, Any]) -> str:
    """Return the words that a job is found by, a space before and after each.

    >>> words_of({"address_street": "12 N. Oak Ave"}, {"parcel_no": "044-17"})
    ' 12 n north oak ave avenue 044 17 04417 4417 44 '
    """
    texts = _said(answers, TEXTS) + _said(facts, OWN_TEXTS)
    kept = words.kept_words(texts, _said(answers, MARKS) + _said(facts, OWN_MARKS), [], [])
    return f" {kept} " if kept else ""


def day_of(answers: Mapping[str, Any], facts: Mapping[str, Any]) -> str | None:
    """Return the day of the work: as answered, else as planned; None when neither is a date."""
    for said in (answers.get("work_date"), facts.get("planned_on")):
        try:
            if said and checking.iso_date("day", said):
                return str(said)
        except Invalid:
            continue
    return None


def said_of(answers: Mapping[str, Any], facts: Mapping[str, Any]) -> dict[str, str | None]:
    """Return the columns that answers and facts give: what a list shows of the job, and its words."""
    unit = "".join(_said(answers, ("address_unit",)))
    # As papers name it; the archive imports nothing that could tell it so.
    worded = {**answers, "address_unit": f"Unit {unit}"} if _BARE_UNIT.fullmatch(unit) else answers
    address = ", ".join(_said(worded, ADDRESS))
    return {
        "heater_kind": "".join(_said(answers, ("heater_kind",)))[:40],
        "address": address[:LONGEST_SHOWN],
        "owner": "".join(_said(answers, ("owner_name",)))[:LONGEST_SHOWN],
        "day": day_of(answers, facts),
        "words": words_of(answers, facts),
    }


def permit_stage(answers: Mapping[str, Any], facts: Mapping[str, Any]) -> str:
    """Return how far a job is that has no inspection: `permit` once it is issued, dated or not, else nothing.

    >>> permit_stage({"permit_status": "issued"}, {}), permit_stage({}, {"permit_issued_on": "2026-11-26"})
    ('permit', 'permit')
    >>> permit_stage({"permit_status": "issued"}, {"permit_status": "applied"})
    ''
    """
    said = facts.get("permit_status") or answers.get("permit_status")
    return "permit" if facts.get("permit_issued_on") or said == "issued" else ""


def says_issued() -> ColumnElement:
    """The condition, on a desk line, that the office, or else the job, says that the permit is issued."""
    job = tables.job

    # As `canonical` writes it.
    def held(table: Table, text: ColumnElement, of: ColumnElement, said: str) -> ColumnElement:
        own = (table.c.organisation == _line.c.organisation, of == _line.c.job_id)
        return exists().where(*own, text.like(f'%"permit_status":{said}%'))

    own_word = held(_desk, _desk.c.facts, _desk.c.job_id, "")
    by_office = held(_desk, _desk.c.facts, _desk.c.job_id, '"issued"')
    return or_(by_office, and_(not_(own_word), held(job, job.c.answers, job.c.id, '"issued"')))


def restage(connection: Connection) -> None:
    """Give the lines of an older version their stage where a permit is issued without a day."""
    undated = (_line.c.stage == "", _line.c.state != "erased", says_issued())
    connection.execute(update(_line).where(*undated).values(stage="permit"))


def begin(
    connection: Connection,
    organisation: int,
    job_id: str,
    installer: int | None,
    answers: Mapping[str, Any],
    now: str,
) -> None:
    """Give a new job its line."""
    own = {"organisation": organisation, "job_id": job_id, "opened_at": now}
    held = {"state": "draft", "installer": installer, "stage": permit_stage(answers, {})}
    connection.execute(insert(_line).values(**own, **held, **said_of(answers, {})))


def keep(connection: Connection, organisation: int, job_id: str, **values: Any) -> None:
    """Take over what changed of a job: `state`, `installer`, or its `answers`, whole."""
    kept = {name: values[name] for name in ("state", "installer") if name in values}
    if "answers" in values:
        query = select(_desk.c.facts).where(_desk.c.organisation == organisation, _desk.c.job_id == job_id)
        found = connection.execute(query).scalar()
        facts = json.loads(found) if found else {}
        kept |= said_of(values["answers"], facts)
        this = (_line.c.organisation == organisation, _line.c.job_id == job_id)
        if connection.execute(select(_line.c.stage).where(*this)).scalar() in ("", "permit"):
            kept["stage"] = permit_stage(values["answers"], facts)
    if kept:
        this = (_line.c.organisation == organisation, _line.c.job_id == job_id)
        connection.execute(update(_line).where(*this).values(**kept))


def _said(given: Mapping[str, Any], names: tuple[str, ...]) -> list[str]:
    return [given[name] for name in names if isinstance(given.get(name), str) and given[name]]


def facts_text(facts: Mapping[str, Any]) -> str:
    """Return a row's facts as they are stored, without those that say nothing."""
    return canonical({name: said for name, said in facts.items() if said not in (None, "")})
