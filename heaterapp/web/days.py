"""Dates as the office types and reads them: `26 Nov 2026` on the page, ISO underneath."""

from __future__ import annotations

import re
from collections.abc import Mapping
from datetime import date, datetime
from typing import Any

from heaterapp import archive, firm_days
from heaterapp.filling.signed import earliest_day, latest_day
from heaterapp.firm_clock import MONTHS, day_words, moment_words
from heaterapp.web.security import current_organisation, store

EXPECTED = "expected a date such as 2026-11-26 or 11/26/2026"
FIRST_YEAR, LAST_YEAR = 1950, 2100
_OURS = re.compile(r"^(Second visit after the inspection of )(\d{4}-\d\d-\d\d)", re.ASCII)
OUT_OF_RANGE = f"expected a date from {FIRST_YEAR} to {LAST_YEAR}"
_ISO = re.compile(r"(?P<year>\d{4})-(?P<month>\d{1,2})-(?P<day>\d{1,2})", re.ASCII)
_US = re.compile(r"(?P<month>\d{1,2})/(?P<day>\d{1,2})/(?P<year>\d{4}|\d{2})", re.ASCII)
_NAMED = re.compile(r"(?P<month>[A-Za-z]{3,9})\.? (?P<day>\d{1,2}),? (?P<year>\d{4})", re.ASCII)
_DAY_FIRST = re.compile(r"(?P<day>\d{1,2}) (?P<month>[A-Za-z]{3,9})\.? (?P<year>\d{4})", re.ASCII)


def today() -> str:
    """Today's ISO date as the firm's clocks have it."""
    zone = firm_days.zone_of(current_organisation().settings)
    return firm_days.day_of(store().database.now(), zone).isoformat()


def latest_today() -> str:
    """The latest ISO date that today may be: the firm's own; anywhere's where the firm named no time zone."""
    now = datetime.fromisoformat(store().database.now())
    return today() if current_organisation().settings.get("time_zone") else latest_day(now)


def earliest_today() -> str:
    """The earliest ISO date that today may be, as `latest_today`."""
    now = datetime.fromisoformat(store().database.now())
    return today() if current_organisation().settings.get("time_zone") else earliest_day(now)


def shown_day(day: str | None) -> str:
    """Return an ISO date, or the beginning of a stamp, as it is read; nothing for nothing.

    >>> shown_day("2026-11-26"), shown_day("2026-03-01T10:00:00Z"), shown_day(None)
    ('26 Nov 2026', '1 Mar 2026', '')
    """
    return day_words(day) if day else ""


def days_told(text: str | None) -> str:
    """Return our own words with their date as pages write it; what somebody typed stays as it is.

    >>> days_told("Second visit after the inspection of 2026-11-24. Mended: Strap, see 2026-11-20")
    'Second visit after the inspection of 24 Nov 2026. Mended: Strap, see 2026-11-20'
    """
    return _OURS.sub(lambda found: found[1] + shown_day(found[2]), text or "", count=1)


def day_there(stamp: str) -> str:
    """Return the firm's own day of a UTC stamp as an ISO date."""
    there = _there(stamp)
    return there.date().isoformat() if there else stamp[:10]


def day_of_record(opened: archive.Record, stamp: str) -> str:
    """Return the ISO date of a UTC stamp by the time zone that a record kept, as its own paper tells days."""
    there = _there(stamp, opened.organisation_snapshot.get("settings") or {})
    return there.date().isoformat() if there else stamp[:10]


def void_since(hit: archive.Hit, organisation: int) -> str:
    """Return the day since which a paper is void, as it is read; nothing for one that is not."""
    if not hit.voided_at or hit.erased:
        return local_day(hit.voided_at)
    opened = store().records.get(organisation, hit.record)
    return shown_day(day_of_record(opened, hit.voided_at))


def local_day(stamp: str | None) -> str:
    """Return the firm's own day of a UTC stamp, or an ISO date as it stands, as it is read."""
    there = _there(stamp)
    return shown_day(there.date().isoformat() if there else stamp)


def shown_moment(stamp: str | None) -> str:
    """Return a UTC stamp as the firm's clocks have it, as `25 Nov 2026, 7:12 pm PST`; nothing for nothing."""
    there = _there(stamp)
    return shown_day(stamp) if there is None else moment_words(there)


def _there(stamp: str | None, kept: Mapping[str, Any] | None = None) -> datetime | None:
    if not stamp or "T" not in stamp:
        return None
    firm = current_organisation() if kept is None else None
    settings = firm.settings if firm else kept or {}
    try:
        return datetime.fromisoformat(stamp).astimezone(firm_days.zone_of(settings))
    except ValueError:
        return None


def read_day(typed: str) -> str:
    """Return what was typed as an ISO date; nothing for nothing.

    >>> [read_day(text) for text in ("11/26/26", " 2026-11-26 ", "Nov. 26, 2026", "26 november 2026")]
    ['2026-11-26', '2026-11-26', '2026-11-26', '2026-11-26']

    raises  ValueError for what is no date of the years 1950 to 2100
    """
    text = " ".join(typed.split())[:40]
    if not text:
        return ""
    for pattern in (_ISO, _US, _NAMED, _DAY_FIRST):
        found = pattern.fullmatch(text)
        if found:
            year = int(found["year"]) + (2000 if len(found["year"]) == 2 else 0)
            try:
                read = date(year, _month(found["month"]), int(found["day"]))
            except ValueError:
                raise ValueError(EXPECTED) from None
            if FIRST_YEAR <= read.year <= LAST_YEAR:
                return read.isoformat()
            raise ValueError(f"{OUT_OF_RANGE}, not {shown_day(read.isoformat())}")
    raise ValueError(EXPECTED)


def days_until(day: str, on: str) -> int:
    """Return the whole days from one ISO date, `on`, to another; below nothing when it is past."""
    return (date.fromisoformat(day) - date.fromisoformat(on)).days


def _month(written: str) -> int:
    return int(written) if written.isdigit() else MONTHS.index(written[:3].capitalize()) + 1
