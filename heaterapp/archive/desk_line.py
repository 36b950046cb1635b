"""What the desk's row of a job holds of the job itself, kept beside every change of it.

The desk lists, filters and searches its narrow rows alone: a job's own are some thirty times as long.
"""

from __future__ import annotations

import json
from collections.abc import Mapping
from typing import Any

from sqlalchemy import Connection, delete, insert, select, update

from heaterapp.archive import checking, office_tables, words
from heaterapp.archive.canonical import canonical
from heaterapp.archive.errors import Invalid

_desk = office_tables.desk
TEXTS = ("address_street", "address_unit", "address_city", "address_state", "address_zip", "owner_name")
MARKS = ("job_ref", "permit_number", "heater_serial", "heater_model")
OWN_TEXTS = ("contact_name",)
OWN_MARKS = ("permit_number", "parcel_no", "label_no", "contact_phone")
READ = frozenset((*TEXTS, *MARKS, "work_date"))
"""The answers that the row is made of."""


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


def begin(
    connection: Connection,
    organisation: int,
    job_id: str,
    installer: int | None,
    answers: Mapping[str, Any],
    now: str,
) -> None:
    """Give a new job its row."""
    connection.execute(
        insert(_desk).values(
            organisation=organisation, job_id=job_id, opened_at=now, state="draft", installer=installer,
            stage="", day=day_of(answers, {}), words=words_of(answers, {}), revision=1, updated_at=now,
            facts="{}", changes="[]",
        )
    )  # fmt: skip


def keep(connection: Connection, organisation: int, job_id: str, **values: Any) -> None:
    """Take over what changed of a job: `state`, `installer`, or its `answers`, whole."""
    this = (_desk.c.organisation == organisation, _desk.c.job_id == job_id)
    kept = {name: values[name] for name in ("state", "installer") if name in values}
    if "answers" in values:
        found = connection.execute(select(_desk.c.facts).where(*this)).scalar()
        facts = json.loads(found) if found else {}
        kept |= {"day": day_of(values["answers"], facts), "words": words_of(values["answers"], facts)}
    if kept:
        connection.execute(update(_desk).where(*this).values(**kept))


def let_go(connection: Connection, organisation: int, job_id: str) -> None:
    """Remove all that the desk holds of a job that is discarded."""
    for table in (office_tables.inspection, _desk):
        connection.execute(
            delete(table).where(table.c.organisation == organisation, table.c.job_id == job_id)
        )


def _said(given: Mapping[str, Any], names: tuple[str, ...]) -> list[str]:
    return [given[name] for name in names if isinstance(given.get(name), str)]


def facts_text(facts: Mapping[str, Any]) -> str:
    """Return a row's facts as they are stored, without those that say nothing."""
    return canonical({name: said for name, said in facts.items() if said not in (None, "")})
