"""Until when a homeowner's link opens its page: what was chosen, and how each link stands."""

from __future__ import annotations

from collections.abc import Mapping
from datetime import date, datetime, timedelta
from typing import NamedTuple

from heaterapp import archive, firm_days
from heaterapp.languages import say
from heaterapp.mailing import addresses
from heaterapp.web.days import read_day, shown_day, shown_moment
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
    count: int
    """Which link of its record it is, from 1, the first one made."""
    words: str
    opens: bool
    of: str = ""
    """The number of the earlier paper that it was made for; nothing for the record's own."""

    @property
    def name(self) -> str:
        """As it is called in a sentence: `link 2`, `link 2 of C-000008`."""
        return f"link {self.count} of {self.of}" if self.of else f"link {self.count}"


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
            return Chosen(None, {"end_day": f"Last day: expected a date such as {example_day()}"})
        if last < today:
            return Chosen(None, {"end_day": "Last day: expected today or a later day"})
    return Chosen(datetime.fromisoformat(firm_days.end_of(last, zone)), {})


def example_day() -> str:
    """Return an ISO date that is taken as a link's last day, whatever day it is: in a year."""
    zone = firm_days.zone_of(current_organisation().settings)
    return _a_year_after(firm_days.day_of(store().database.now(), zone)).isoformat()


class Older(NamedTuple):
    """An open link that shows an earlier paper of a record's job."""

    number: str
    named: str
    """Whom and which house that paper names."""
    line: Line


def older(opened: archive.Record) -> list[Older]:
    """Return the open links of the job's earlier papers that show none so new, where this paper stands."""
    hits = store().records.of_job(opened.organisation, opened.job_id)
    if next((hit.state for hit in hits if hit.record == opened.id), "") != "current":
        return []
    before = [hit for hit in hits if hit.record < opened.id and hit.finished and not hit.erased]
    return [
        Older(hit.number, ", ".join(filter(None, (hit.facts.owner, hit.facts.address))), line)
        for hit in before
        for line in _lines(opened.organisation, hit.record)
        if line.opens and line.share.shows != opened.id
    ]


def led_on(opened: archive.Record, chosen: str, person: int) -> str:
    """Let an older paper's link show this record, and return what was done; nothing where it is none."""
    for one in older(opened):
        if str(one.line.share.id) == chosen:
            store().shares.lead_on(opened.organisation, one.line.share.id, opened.id, person)
            return f"Link {one.line.count} of {one.number} shows {opened.number} now."
    return ""


def lines(opened: archive.Record) -> list[Line]:
    """Return the links that a record's page lists: its own, newest first, then earlier papers' that show it.

    Each says when, by whom and for what it was made, and how it stands now.
    """
    org = opened.organisation
    before = [hit for hit in store().records.of_job(org, opened.job_id) if hit.record < opened.id]
    led = [
        line
        for hit in before
        for line in _lines(org, hit.record, opened.id, hit.number)
        if line.share.shows == opened.id
    ]
    return _lines(org, opened.id) + led


def _lines(org: int, record: int, page: int | None = None, of: str = "") -> list[Line]:
    """The links of a record; for the page of another record, each with the number of its own."""
    shares = store().shares.all_for(org, record)
    if not shares:
        return []
    now, count = store().database.now(), len(shares)
    people = {one.id: _named(one) for one in store().people.all(org)}
    mailed: dict[int | None, list[str]] = {}
    for mail in store().mails.of_records(org, [record]):
        mailed.setdefault(mail.share, []).append(
            addresses.as_read(mail.address or "") or "an address that was erased"
        )
    led = store().records.numbers(org, {one.shows for one in shares} - {record, page})
    found = []
    for at, share in enumerate(shares):
        by = people.get(share.created_by or 0, "the program" if share.created_by is None else "somebody")
        to = list(dict.fromkeys(mailed.get(share.id, ())))
        sent = f", for the mail to {' and '.join(to)}" if to else ""
        stands, opens = _stands(share, now)
        where = f", shows {led[share.shows]}" if share.shows in led else ""
        named = f"Link {count - at} of {of}" if of else f"Link {count - at}"
        made = f"{named}: made {shown_moment(share.created_at)} by {by}{sent}; {stands}{where}"
        found.append(Line(share, count - at, made, opens, of))
    return found


def _named(person: archive.Person) -> str:
    return f"{person.name} (installer)" if person.role == "installer" else person.name


def _stands(share: archive.Share, now: str) -> tuple[str, bool]:
    if share.revoked_at:
        return f"closed {shown_moment(share.revoked_at)}", False
    if not share.expires_at:
        return "open, it does not end by itself", True
    last = last_day(share)
    return (f"ended {last}", False) if share.expires_at <= now else (f"open until {last}", True)


def _a_year_after(day: date) -> date:
    try:
        return day.replace(year=day.year + 1)
    except ValueError:
        return day.replace(year=day.year + 1, day=28)
