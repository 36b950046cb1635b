"""Until when a homeowner's link opens its page: what was chosen, and how each link stands."""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from datetime import date, datetime, timedelta
from typing import NamedTuple

from heaterapp import archive, firm_days
from heaterapp.languages import say
from heaterapp.web.days import local_day, read_day, shown_day
from heaterapp.web.firm_settings import LINK_DAYS
from heaterapp.web.security import current_organisation, store

DAYS = 90
"""What the office is offered where the firm has set no days."""
DATED = "After a date"


class Chosen(NamedTuple):
    """What a form says of a link's end: its moment, None for never; or what is wrong, by field."""

    at: datetime | None
    errors: Mapping[str, str]


class Line(NamedTuple):
    """A link as it is listed."""

    share: archive.Share
    words: str
    opens: bool


def usual_days() -> str:
    """Return after how many days the firm's links end, as it is typed; nothing where they do not."""
    return str(current_organisation().settings.get(firm_days.LINK_DAYS) or "")


def offered() -> dict[str, str]:
    """Return what the office may choose; `days` are the firm's own where it has set some."""
    days = int(usual_days() or DAYS)
    said = f"After {days:,} day{'' if days == 1 else 's'}"
    return {"never": "Never", "year": "After 1 year", "days": said, "day": DATED}


def usual() -> str:
    """Return which of them is offered first."""
    return "days" if usual_days() else "never"


def in_days(form: Mapping[str, str]) -> Chosen:
    """Read the installer's field `link_days`: empty for never, left out for what the firm has set."""
    typed = form.get(firm_days.LINK_DAYS, usual_days()).strip()
    if not typed:
        return Chosen(None, {})
    least, most = LINK_DAYS
    if not (typed.isascii() and typed.isdecimal() and len(typed) < 6 and least <= int(typed) <= most):
        expected = say(
            "Days that the link opens: a whole number from {least} to {most} was expected, or nothing.",
            least=least, most=f"{most:,}",
        )  # fmt: skip
        return Chosen(None, {firm_days.LINK_DAYS: expected})
    zone = firm_days.zone_of(current_organisation().settings)
    ends = firm_days.days_after(store().database.now(), int(typed), zone)
    return Chosen(datetime.fromisoformat(ends), {})


def last_day(share: archive.Share) -> str:
    """Return the last day on which a link opens, as it is read; nothing for one that does not end."""
    if not share.expires_at:
        return ""
    zone = firm_days.zone_of(current_organisation().settings)
    return shown_day(firm_days.last_day(share.expires_at, zone).isoformat())


def chosen(form: Mapping[str, str]) -> Chosen:
    """Read the fields `ends` and `end_day`; without them a link ends as the firm has set."""
    ends, typed = form.get("ends", usual()), form.get("end_day", "").strip()
    zone = firm_days.zone_of(current_organisation().settings)
    today = firm_days.day_of(store().database.now(), zone)
    if ends not in offered():
        return Chosen(None, {"ends": "Link ends: expected one of the list"})
    if typed and ends != "day":
        return Chosen(None, {"ends": f"Link ends: a date is typed: choose '{DATED}' or empty it"})
    if ends == "never":
        return Chosen(None, {})
    last = today + timedelta(days=int(usual_days() or DAYS)) if ends == "days" else _a_year_after(today)
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
    last = last_day(share)
    if share.expires_at <= now:
        return f"{made}, ended {last}", False
    return f"{made}, open until {last}", True


def _a_year_after(day: date) -> date:
    try:
        return day.replace(year=day.year + 1)
    except ValueError:
        return day.replace(year=day.year + 1, day=28)
