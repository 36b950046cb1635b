"""A time zone as a calendar states it (RFC 5545): when its clocks change, by rule where they keep one.

Worked from the machine's time zone database. It tells no rules, only what the clock says at a moment, so
twenty years are looked through, and what comes every year on the same weekday of the same month is a rule.
"""

from __future__ import annotations

from calendar import monthrange
from collections import defaultdict
from datetime import UTC, datetime, timedelta
from functools import lru_cache
from typing import Any, NamedTuple
from zoneinfo import ZoneInfo

from icalendar import Timezone, TimezoneDaylight, TimezoneStandard

YEARS = 20
WEEK = 7
DAYS = ("MO", "TU", "WE", "TH", "FR", "SA", "SU")
_LONG_AGO = datetime(1970, 1, 1)


class Change(NamedTuple):
    """What the clocks change from and to, and what the time is called then."""

    before: timedelta
    after: timedelta
    name: str
    summer: bool


@lru_cache(maxsize=100)
def zone_of_calendar(zone: ZoneInfo, year: int) -> Timezone:
    """Return the zone with every change from the year before `year` on."""
    first = datetime(year - 1, 1, 1, tzinfo=UTC)
    changes = _changes(zone, first, first.replace(year=year - 1 + YEARS))
    made = Timezone()
    made.add("TZID", zone.key)
    if not changes:
        there = first.astimezone(zone)
        offset = there.utcoffset() or timedelta(0)
        made.add_component(_part(Change(offset, offset, there.tzname() or zone.key, False), [_LONG_AGO]))
    for change, onsets in changes.items():
        made.add_component(_part(change, onsets))
    return made


def yearly_rule(onsets: list[datetime]) -> dict[str, Any] | None:
    """Return the rule that these moments keep, one a year, or None.

    >>> yearly_rule([datetime(2026, 3, 8, 2), datetime(2027, 3, 14, 2), datetime(2028, 3, 12, 2)])
    {'FREQ': 'YEARLY', 'BYMONTH': 3, 'BYDAY': '2SU'}
    >>> yearly_rule([datetime(2026, 3, 29, 1), datetime(2027, 3, 28, 1), datetime(2028, 3, 26, 1)])
    {'FREQ': 'YEARLY', 'BYMONTH': 3, 'BYDAY': '-1SU'}
    >>> yearly_rule([datetime(2026, 3, 8, 2), datetime(2027, 4, 14, 2)])
    """
    first = onsets[0]
    years = [one.year for one in onsets] == list(range(first.year, first.year + len(onsets)))
    alike = {(one.month, one.weekday(), one.time()) for one in onsets}
    if len(onsets) < 2 or not years or len(alike) > 1:
        return None
    counts = {(one.day - 1) // WEEK + 1 for one in onsets}
    last = all(one.day + WEEK > monthrange(one.year, one.month)[1] for one in onsets)
    if len(counts) > 1 and not last:
        return None
    count = -1 if last else counts.pop()
    return {"FREQ": "YEARLY", "BYMONTH": first.month, "BYDAY": f"{count}{DAYS[first.weekday()]}"}


def _part(change: Change, onsets: list[datetime]) -> TimezoneStandard | TimezoneDaylight:
    part = TimezoneDaylight() if change.summer else TimezoneStandard()
    part.add("TZNAME", change.name)
    part.add("TZOFFSETFROM", change.before)
    part.add("TZOFFSETTO", change.after)
    part.add("DTSTART", onsets[0])
    rule = yearly_rule(onsets)
    if rule:
        part.add("RRULE", rule)
    elif onsets[1:]:
        part.add("RDATE", onsets[1:])
    return part


def _changes(zone: ZoneInfo, first: datetime, last: datetime) -> dict[Change, list[datetime]]:
    """Return each kind of change with the moments at which it comes, by the clock that it ends."""
    found: dict[Change, list[datetime]] = defaultdict(list)
    day = first
    while day < last:
        after = day + timedelta(days=1)
        if day.astimezone(zone).utcoffset() != after.astimezone(zone).utcoffset():
            moment = _moment(zone, day, after)
            then = moment.astimezone(zone)
            before = (moment - timedelta(seconds=1)).astimezone(zone).utcoffset() or timedelta(0)
            offset = then.utcoffset() or timedelta(0)
            change = Change(before, offset, then.tzname() or zone.key, bool(then.dst()))
            found[change].append((moment + before).replace(tzinfo=None))
        day = after
    return found


def _moment(zone: ZoneInfo, low: datetime, high: datetime) -> datetime:
    """Return the first minute of the new offset."""
    old = low.astimezone(zone).utcoffset()
    while high - low > timedelta(minutes=1):
        middle = low + timedelta(minutes=(high - low) // timedelta(minutes=2))
        low, high = (middle, high) if middle.astimezone(zone).utcoffset() == old else (low, middle)
    return high
