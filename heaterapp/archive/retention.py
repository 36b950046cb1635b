"""How long a record is kept at least: the years that the firm has set, from its issue or its work.

What was set when a record was issued binds the firm for it: a later setting makes its time longer, never
shorter. The log tells what was set when.
"""

import json
from collections.abc import Mapping, Sequence
from datetime import date
from typing import Any
from zoneinfo import ZoneInfo

from sqlalchemy import Connection, select

from heaterapp import firm_days
from heaterapp.archive import tables

SETTING = "retention_years"
USUAL_YEARS = 10
FEWEST_YEARS, MOST_YEARS = 5, 99
SETTINGS = "settings"
"""The act by which settings change; its entry tells old and new years."""


def years_of(settings: Mapping[str, Any]) -> int:
    """Return the years that a firm keeps its records, 5 to 99; 10 where it has set none that can be read.

    >>> years_of({}), years_of({"retention_years": 15}), years_of({"retention_years": "12"})
    (10, 15, 12)
    >>> years_of({"retention_years": 0}), years_of({"retention_years": 3})
    (10, 5)
    """
    said = str(settings.get(SETTING))
    years = int(said) if said.isascii() and said.isdecimal() and len(said) < 3 else 0
    return max(years, FEWEST_YEARS) if years else USUAL_YEARS


def years_for(issued: int, now: int, changes: Sequence[tuple[int, int]]) -> int:
    """Return the years for a record: those set when it was issued, or those set now where they are more.

    issued   the place of its issue in the log
    now      the years that are set now
    changes  (place in the log, years before) of each change of the years, oldest first

    >>> changes = [(20, 10), (40, 15)]
    >>> [years_for(place, 5, changes) for place in (10, 30, 50)]
    [10, 15, 5]
    >>> years_for(30, 99, changes), years_for(10, 12, [])
    (99, 12)
    """
    at_issue = next((before for place, before in changes if place > issued), now)
    return max(now, at_issue)


def read_changes(connection: Connection, organisation: int) -> list[tuple[int, int]]:
    """Return what the log tells of the years that were set, as `years_for` reads it."""
    table = tables.log
    mine = (table.c.organisation == organisation, table.c.act == SETTINGS)
    found = []
    for row in connection.execute(select(table.c.seq, table.c.body).where(*mine).order_by(table.c.seq)):
        told = (json.loads(row.body).get("values") or {}).get(SETTING)
        if isinstance(told, list) and told:
            found.append((row.seq, years_of({SETTING: told[0]})))
    return found


def kept_until(issued_at: str, work_date: str, years: int, zone: ZoneInfo) -> str:
    """Return the first day on which a record may be deleted by the rule, as an ISO date.

    issued_at  UTC time; work_date  ISO date or empty: the later day counts
    years      1 to 99; from 29 February of a leap year to 1 March of another
    zone       the firm's, in which the issue has its day

    >>> utc, coast = ZoneInfo("UTC"), ZoneInfo("America/Los_Angeles")
    >>> kept_until("2026-03-14T12:00:00Z", "2026-03-13", 10, utc)
    '2036-03-14'
    >>> kept_until("2026-03-14T05:00:00Z", "", 1, coast)
    '2027-03-13'
    >>> kept_until("2024-02-28T12:00:00Z", "2024-02-29", 10, utc)
    '2034-03-01'
    """
    day = date.fromisoformat(max(firm_days.day_of(issued_at, zone).isoformat(), work_date))
    if day.year + years > date.max.year:
        return date.max.isoformat()
    try:
        return day.replace(year=day.year + years).isoformat()
    except ValueError:
        return date(day.year + years, 3, 1).isoformat()
