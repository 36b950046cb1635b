"""Until when a homeowner's link opens its page: what was chosen, and how each link stands."""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from datetime import date, datetime, timedelta
from typing import NamedTuple

from heaterapp import archive, firm_days
from heaterapp.web.days import local_day, read_day
from heaterapp.web.security import current_organisation, store

ENDS = {"never": "Never", "year": "After 1 year", "days": "After 90 days", "day": "After a date"}
DAYS = 90


class Chosen(NamedTuple):
    """What a form says of a link's end: its moment, None for never; or what is wrong, by field."""

    at: datetime | None
    errors: Mapping[str, str]


class Line(NamedTuple):
    """A link as it is listed."""

    share: archive.Share
    words: str
    opens: bool


def chosen(form: Mapping[str, str]) -> Chosen:
    """Read the fields `ends` and `end_day`; without them a link never ends."""
    ends, typed = form.get("ends", "never"), form.get("end_day", "").strip()
    zone = firm_days.zone_of(current_organisation().settings)
    today = firm_days.day_of(store().database.now(), zone)
    if ends not in ENDS:
        return Chosen(None, {"ends": "Link ends: expected one of the list"})
    if typed and ends != "day":
        return Chosen(None, {"ends": f"Link ends: a date is typed: choose '{ENDS['day']}' or empty it"})
    if ends == "never":
        return Chosen(None, {})
    last = today + timedelta(days=DAYS) if ends == "days" else _a_year_after(today)
    if ends == "day":
        try:
            last = date.fromisoformat(read_day(typed) or "-")
        except ValueError:
            return Chosen(None, {"end_day": "Last day: expected a date such as 2026-11-26 or 11/26/2026"})
        if last < today:
            return Chosen(None, {"end_day": "Last day: expected today or a later day"})
    return Chosen(datetime.fromisoformat(firm_days.end_of(last, zone)), {})


def lines(shares: Sequence[archive.Share]) -> list[Line]:
    """Return each link with how it stands now, in words."""
    now = store().database.now()
    return [Line(one, *_stands(one, now)) for one in shares]


def _stands(share: archive.Share, now: str) -> tuple[str, bool]:
    made = f"Made {local_day(share.created_at)}"
    if share.revoked_at:
        return f"{made}, closed {local_day(share.revoked_at)}", False
    if not share.expires_at:
        return f"{made}, open", True
    # It ends with that day's last second.
    end = datetime.fromisoformat(share.expires_at) - timedelta(seconds=1)
    last = local_day(end.strftime("%Y-%m-%dT%H:%M:%SZ"))
    if share.expires_at <= now:
        return f"{made}, ended {last}", False
    return f"{made}, open until {last}", True


def _a_year_after(day: date) -> date:
    try:
        return day.replace(year=day.year + 1)
    except ValueError:
        return day.replace(year=day.year + 1, day=28)
