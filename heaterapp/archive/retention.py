"""How long a record is kept at least: the years that the firm has set, from its issue or its work."""

from collections.abc import Mapping
from datetime import date
from typing import Any
from zoneinfo import ZoneInfo

from heaterapp import firm_days

SETTING = "retention_years"
USUAL_YEARS = 10
FEWEST_YEARS, MOST_YEARS = 1, 99


def years_of(settings: Mapping[str, Any]) -> int:
    """Return the years that a firm keeps its records, 1 to 99; 10 where it has set none that can be read.

    >>> years_of({}), years_of({"retention_years": 15}), years_of({"retention_years": "12"})
    (10, 15, 12)
    >>> years_of({"retention_years": 0}), years_of({"retention_years": None})
    (10, 10)
    """
    said = str(settings.get(SETTING))
    years = int(said) if said.isascii() and said.isdecimal() and len(said) < 3 else 0
    return years if FEWEST_YEARS <= years <= MOST_YEARS else USUAL_YEARS


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
