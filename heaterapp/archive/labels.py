"""Labels of a label program that were used at installations: which, when, by whose license, in which house.

Where a program has a licensed installer attach a label in place of an own permit, its use is to be reported
within 30 days: read of one state's program (job.md 3.2), and common to that kind.
"""

import json
from dataclasses import dataclass
from datetime import date, timedelta

from sqlalchemy import Connection, or_, select

from heaterapp.archive import office_tables
from heaterapp.archive.desk_board import lines_of

REPORT_DAYS = 30
USED_ON, REPORTED_ON = "label_used_on", "label_reported_on"
_desk = office_tables.desk


@dataclass(frozen=True)
class Label:
    """One label as the desk has it; what nobody said of it is empty."""

    number: str
    used_on: str
    licence: str
    job_id: str
    address: str
    reported_on: str = ""

    @property
    def report_by(self) -> str:
        """The ISO day by which its use is to be reported."""
        return (date.fromisoformat(self.used_on) + timedelta(days=REPORT_DAYS)).isoformat()


def read_labels(
    connection: Connection, organisation: int, first_day: str, last_day: str
) -> tuple[Label, ...]:
    """Return the labels used on one of these days, by day and number; erased jobs have none.

    first_day, last_day  ISO dates, both within
    """
    months = sorted({first_day[:7], last_day[:7]})
    # The facts are one text; a quote within a fact stands there escaped, so this is found as a name alone.
    told = or_(*(_desk.c.facts.contains(f'"{USED_ON}":"{month}', autoescape=True) for month in months))
    rows = connection.execute(
        select(_desk.c.job_id, _desk.c.facts).where(_desk.c.organisation == organisation, told)
    ).all()
    facts = {row.job_id: json.loads(row.facts) for row in rows}
    kept = {job: one for job, one in facts.items() if first_day <= one.get(USED_ON, "") <= last_day}
    lines = lines_of(connection, organisation, list(kept))
    found = [
        Label(
            one.get("label_no", ""), one[USED_ON], one.get("label_licence", ""), job,
            lines[job].address if job in lines else "", one.get(REPORTED_ON, ""),
        )
        for job, one in kept.items()
    ]  # fmt: skip
    return tuple(sorted(found, key=lambda one: (one.used_on, one.number, one.job_id)))
