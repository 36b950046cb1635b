"""A firm's own days: dates and months as its office counts them, turned into moments of the archive.

The setting `time_zone` is a name of the time zone database such as America/Los_Angeles; UTC without it.
"""

from __future__ import annotations

import re
from calendar import month_name
from collections.abc import Mapping
from datetime import UTC, date, datetime, timedelta
from typing import Any
from zoneinfo import ZoneInfo, available_timezones

_ISO_MONTH = re.compile(r"(?P<year>\d{4})-(?P<month>\d{1,2})", re.ASCII)
_US_MONTH = re.compile(r"(?P<month>\d{1,2}) ?/ ?(?P<year>\d{4})", re.ASCII)
_NAMED_MONTH = re.compile(r"(?P<month>[A-Za-z]{3,9})\.?,? (?P<year>\d{4})", re.ASCII)
FIRST_YEAR, LAST_YEAR = 2000, 2199
LINK_DAYS = "link_days"
"""The setting by which homeowner's links end, in days; without it they do not."""


def is_zone(name: str) -> bool:
    """Say whether a name is that of an area or UTC, and not of a machine's own setting such as localtime.

    >>> is_zone("America/Los_Angeles"), is_zone("UTC"), is_zone("localtime"), is_zone("Factory")
    (True, True, False, False)
    """
    return name == "UTC" or ("/" in name and name in available_timezones())


def zone_of(settings: Mapping[str, Any]) -> ZoneInfo:
    """Return the firm's time zone; one that this machine does not know counts as UTC."""
    try:
        return ZoneInfo(str(settings.get("time_zone") or "UTC"))
    except (ValueError, OSError, LookupError):
        return ZoneInfo("UTC")


def begin_of(day: date, zone: ZoneInfo) -> str:
    """Return the moment at which a day begins there, as a UTC stamp.

    >>> begin_of(date(2026, 3, 9), ZoneInfo("America/Los_Angeles"))
    '2026-03-09T07:00:00Z'
    """
    began = datetime(day.year, day.month, day.day, tzinfo=zone)
    return began.astimezone(UTC).strftime("%Y-%m-%dT%H:%M:%SZ")


def end_of(day: date, zone: ZoneInfo) -> str:
    """Return the moment at which a day has ended there: the next one's beginning."""
    return begin_of(day + timedelta(days=1), zone)


def days_after(stamp: str, days: int, zone: ZoneInfo) -> str:
    """Return the moment at which the day ends there that is so many days after that of a stamp.

    >>> days_after("2026-03-01T06:59:59Z", 1, ZoneInfo("America/Los_Angeles"))
    '2026-03-02T08:00:00Z'
    """
    return end_of(day_of(stamp, zone) + timedelta(days=days), zone)


def last_day(ends: str, zone: ZoneInfo) -> date:
    """Return the last day there of what ends at this moment, with the second before it.

    >>> last_day("2026-03-02T08:00:00Z", ZoneInfo("America/Los_Angeles"))
    datetime.date(2026, 3, 1)
    """
    return (datetime.fromisoformat(ends) - timedelta(seconds=1)).astimezone(zone).date()


def day_of(stamp: str, zone: ZoneInfo) -> date:
    """Return the day there of a UTC stamp.

    >>> day_of("2026-03-01T06:59:59Z", ZoneInfo("America/Los_Angeles"))
    datetime.date(2026, 2, 28)
    """
    return datetime.fromisoformat(stamp).astimezone(zone).date()


def read_day(typed: str) -> date | None:
    """Return a date typed as 2026-03-14 in the years 2000 to 2199, None for anything else."""
    try:
        day = date.fromisoformat(typed.strip()[:20])
    except ValueError:
        return None
    return day if day.isoformat() == typed.strip() and FIRST_YEAR <= day.year <= LAST_YEAR else None


def expected(typed: str) -> str:
    """Return what `read_day` expected in place of what was typed: a date, or one of the years it takes.

    >>> expected("14.3.2026"), expected("1899-03-14")
    ('a date such as 2026-03-14', 'a date from 2000 to 2199')
    """
    try:
        date.fromisoformat(typed.strip()[:20])
    except ValueError:
        return "a date such as 2026-03-14"
    return f"a date from {FIRST_YEAR} to {LAST_YEAR}"


def read_month(typed: str) -> date | None:
    """Return the first day of a month of the years 2000 to 2199 as it was typed, None for anything else.

    >>> [str(read_month(text)) for text in ("2026-03", "3/2026", "March 2026", "mar. 2026", "13/2026")]
    ['2026-03-01', '2026-03-01', '2026-03-01', '2026-03-01', 'None']
    """
    text = " ".join(typed.split())[:20]
    found = _ISO_MONTH.fullmatch(text) or _US_MONTH.fullmatch(text) or _NAMED_MONTH.fullmatch(text)
    if found is None:
        return None
    said = found["month"]
    month = int(said) if said.isdecimal() else _named(said)
    return read_day(f"{found['year']}-{month:02}-01")


def _named(said: str) -> int:
    """The number of a month named in full or by its first letters, at least three; 0 for no month."""
    names = [name.lower() for name in month_name]
    return next((at for at, name in enumerate(names) if at and name.startswith(said.lower())), 0)


def next_month(first: date, by: int = 1) -> date:
    """Return the first day of the month `by` months later, or earlier.

    >>> next_month(date(2026, 1, 1), -1), next_month(date(2026, 12, 1))
    (datetime.date(2025, 12, 1), datetime.date(2027, 1, 1))
    """
    months = first.year * 12 + first.month - 1 + by
    return date(months // 12, months % 12 + 1, 1)
