"""The care of this heater as a calendar (RFC 5545): from one record, the same bytes each time.

A reminder stands on the morning of a Saturday, by the firm's time zone, and comes again by a rule of
weekdays ("the second Saturday of March"), which no leap day and no change of the clocks can move. What one
does oneself has a Saturday of its own from ten on; what a plumber does stands on one Saturday, one thing
after the other, for one visit. Where the firm named no time zone it is that of the place, where that is
known, else the whole day, which needs none.

A job's later paper has the same events under the same ids with a higher sequence, so that importing its
calendar replaces them (RFC 5545 3.8.4.7 and 3.8.7.4).
"""

from __future__ import annotations

import re
from calendar import monthrange
from collections.abc import Mapping, Sequence
from datetime import UTC, date, datetime, time, timedelta
from typing import Any
from uuid import NAMESPACE_URL, uuid5
from zoneinfo import ZoneInfo

from icalendar import Alarm, Calendar, Event

from heaterapp import firm_days
from heaterapp.homeowner import care
from heaterapp.homeowner.care import Care
from heaterapp.homeowner.clock_changes import zone_of_calendar
from heaterapp.homeowner.known import Known
from heaterapp.homeowner.said import Said, language_of
from heaterapp.homeowner.what import A_PLUMBER
from heaterapp.homeowner.zones import zone_of_place

HEAD = {
    "VERSION": "2.0",
    "PRODID": "-//heaterapp//care of a water heater//EN",
    "CALSCALE": "GREGORIAN",
}
AT = time(10)
LASTS = timedelta(minutes=30)
BEFORE = timedelta(days=-1)
BEFORE_A_DAY = datetime.combine(date.min, AT) - datetime.combine(date.min + timedelta(days=1), time())
"""An alarm of a whole day: at ten on the day before."""
SATURDAY = 5
WEEK = 7
SATURDAYS = 4
NAME = Said("Care of the water heater", "Cuidado del calentador de agua")
SUMMARY = Said("Water heater: {what}", "Calentador de agua: {what}")
WHO = Said("{firm} {phone}. Paper {number}.", "{firm} {phone}. Documento {number}.")
_CONTROL = re.compile(r"[\x00-\x1f\x7f]+")


def care_calendar(
    known: Known, language: str, settings: Mapping[str, Any] | None = None,
    earlier: Sequence[Known] | None = None,
) -> bytes:
    """Return the calendar of a heater's care, one recurring event for each thing to do.

    known     the record
    language  "en" or "es"; any other is English
    settings  the firm's present settings: their time zone counts where the record kept none
    earlier   the job's papers before this one; None where nobody knows them all
    returns   UTF-8, lines folded and ended by CRLF
    """
    language = language_of(language)
    zone = _zone(known, settings or {})
    began = _began(known, zone)
    made = Calendar()
    for name, value in HEAD.items():
        made.add(name, value)
    made.add("X-WR-CALNAME", NAME.of(language))
    if zone is not None:
        made.add("X-WR-TIMEZONE", zone.key)
        made.add_component(zone_of_calendar(zone, began.year))
    wanted = care.care_for(known)
    for one in wanted:
        made.add_component(_event(known, one, began, zone, language))
    if known.before:
        had = _had(known, earlier)
        for one in care.CARE:
            if one in had and one not in wanted:
                made.add_component(_dropped(known, one, began, zone, language))
    return made.to_ical()


def first_day(began: date, months: int) -> date:
    """Return the first Saturday so many months or more after a day, never the fifth of its month.

    >>> first_day(date(2024, 2, 29), 12), first_day(date(2026, 1, 31), 1), first_day(date(2026, 4, 30), 1)
    (datetime.date(2025, 3, 1), datetime.date(2026, 2, 28), datetime.date(2026, 6, 6))
    """
    count = began.year * 12 + began.month - 1 + months
    year, month = divmod(count, 12)
    last = monthrange(year, month + 1)[1]
    due = date(year, month + 1, min(began.day, last))
    return _no_fifth(due + timedelta(days=(SATURDAY - due.weekday()) % WEEK))


def day_of_care(began: date, one: Care) -> date:
    """Return the first Saturday of a care once its months are over: by which of a month's four it has.

    Those that come every month and those that come every year count from one Saturday, so that none
    that is to stand alone ever falls on another's.

    >>> named = {one.name: one for one in care.CARE}
    >>> [str(day_of_care(date(2026, 3, 9), named[name])) for name in ("alarm", "flush", "straps", "relief")]
    ['2026-04-11', '2027-03-20', '2027-03-27', '2027-04-03']
    >>> str(day_of_care(date(2026, 3, 9), named["condensate"]))
    '2027-04-17'
    """
    own = (_place(first_day(began, 1)) + one.saturdays) % SATURDAYS
    day = first_day(began, one.months)
    while _place(day) != own:
        day = _no_fifth(day + timedelta(days=WEEK))
    for _ in range(one.saturdays // SATURDAYS):
        day = _no_fifth(day + timedelta(days=WEEK * SATURDAYS))
    return day


def _place(saturday: date) -> int:
    return (saturday.day - 1) // WEEK


def _no_fifth(saturday: date) -> date:
    # Not every month has a fifth Saturday: a rule by it would skip the others.
    return saturday if saturday.day <= SATURDAYS * WEEK else saturday + timedelta(days=WEEK)


def rule_of(day: date, months: int) -> dict[str, Any]:
    """Return how a reminder comes again: the same Saturday of the month, every so many months."""
    weekday = f"{_place(day) + 1}SA"
    if months == 12:
        return {"FREQ": "YEARLY", "BYMONTH": day.month, "BYDAY": weekday}
    return {"FREQ": "MONTHLY", "BYDAY": weekday} | ({"INTERVAL": months} if months > 1 else {})


def _had(known: Known, earlier: Sequence[Known] | None) -> set[Care]:
    """Return the care that calendars of the job's earlier papers had, or at most can have had."""
    if earlier is None:
        return set(care.most_for(known))
    return {one for paper in earlier for one in care.care_for(paper)}


def _event(known: Known, one: Care, began: date, zone: ZoneInfo | None, language: str) -> Event:
    day = day_of_care(began, one)
    at = datetime.combine(day, AT) + one.after * LASTS
    what = one.what.of(language)
    firm, phone = known.reached("name") or A_PLUMBER.of(language), known.reached("phone")
    who = WHO.of(language, firm=firm, phone=phone, number=known.number).replace(" .", ".")
    told = (f"{one.how.of(language)} {one.often.of(language)}.", care.FIRST.of(language), who)
    event = Event()
    event.add("UID", str(uuid5(NAMESPACE_URL, f"urn:heaterapp:care:{known.job}:{one.name}")))
    # Even a paper's own calendar of earlier times, all at one minute, is replaced.
    event.add("SEQUENCE", 2 * known.before + 1)
    event.add("DTSTAMP", datetime.fromisoformat(known.issued_at).astimezone(UTC))
    event.add("DTSTART", day if zone is None else at.replace(tzinfo=zone))
    if zone is not None:
        event.add("DURATION", LASTS)
    event.add("RRULE", rule_of(day, one.months))
    event.add("SUMMARY", SUMMARY.of(language, what=what[:1].lower() + what[1:]))
    event.add("DESCRIPTION", "\n".join(_plain(line) for line in told))
    if known.address:
        event.add("LOCATION", _plain(known.address))
    event.add("TRANSP", "TRANSPARENT")
    alarm = Alarm()
    alarm.add("ACTION", "DISPLAY")
    alarm.add("TRIGGER", BEFORE_A_DAY if zone is None else BEFORE)
    alarm.add("DESCRIPTION", SUMMARY.of(language, what=what[:1].lower() + what[1:]))
    event.add_component(alarm)
    return event


def _dropped(known: Known, one: Care, began: date, zone: ZoneInfo | None, language: str) -> Event:
    """What an earlier paper's calendar may hold and this heater does not need: taken back."""
    event = _event(known, one, began, zone, language)
    event.subcomponents.clear()
    event.add("STATUS", "CANCELLED")
    return event


def _plain(text: str) -> str:
    return _CONTROL.sub(" ", text)


def _zone(known: Known, settings: Mapping[str, Any]) -> ZoneInfo | None:
    kept = known.firm.get("settings") or {}
    named = kept if kept.get("time_zone") else settings
    zone = firm_days.zone_of(named)
    return zone_of_place(known) if zone.key == "UTC" else zone


def _began(known: Known, zone: ZoneInfo | None) -> date:
    """Return the day from which the care counts: that of the work, else that of issue."""
    worked = firm_days.read_day(known.work_date)
    return worked or firm_days.day_of(known.issued_at, zone or ZoneInfo("UTC"))
