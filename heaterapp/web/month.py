"""The office's month: what was issued, what waits, what failed, which permits lapse; a page and CSV."""

from __future__ import annotations

from calendar import month_name
from collections import Counter
from collections.abc import Iterator
from dataclasses import dataclass
from datetime import date, timedelta
from typing import Any
from zoneinfo import ZoneInfo

from flask import Blueprint, Response, abort, redirect, render_template, request, url_for

from heaterapp import firm_days, sheet_rows
from heaterapp.archive import Wanted
from heaterapp.archive.labels import REPORT_DAYS, REPORTED_ON, USED_ON, Label
from heaterapp.archive.months import ERASED, SOON_DAYS, Month
from heaterapp.sheet.findings import topic_and_name
from heaterapp.web.office import KINDS
from heaterapp.web.plain_forms import one
from heaterapp.web.security import current_organisation, current_person, require, store

blueprint = Blueprint("month", __name__, url_prefix="/office/month")
KINDS_MANY = {
    "certificate": "Certificates",
    "correction_list": "Correction lists",
    "findings_report": "Findings reports",
}
HEADS = ("month", "figure", "of", "count")
SHOWN = 12
NOT_KNOWN = "Nobody named"
ERASED_WORDS = "Erased"
OTHER_THING = "Another thing"


@dataclass(frozen=True)
class Share:
    """One installer's part of the month."""

    name: str
    issued: dict[str, int]
    revised: dict[str, int]
    unsigned: int
    to_fix: int
    uninspected: int
    erased: bool
    """Whether it is no installer's, but what nobody can name any more."""


@blueprint.get("")
@require("office", "owner")
def page() -> Any:
    """Show one month of the firm; the present one where none is named."""
    zone = _zone()
    typed = request.args.get("month", "")
    today = firm_days.day_of(store().database.now(), zone)
    first = firm_days.read_month(typed) if typed else today.replace(day=1)
    if first is None:
        said = f"Month: a month such as {today:%Y-%m} or {today:%m/%Y} was expected, not {typed[:20]}."
        return _page(today.replace(day=1), today, zone, {"month": said}, typed[:20]), 422
    return _page(first, today, zone)


@blueprint.get("/csv")
@require("office", "owner")
def csv() -> Any:
    """Give the month's figures as CSV, a figure a row."""
    zone = _zone()
    first = firm_days.read_month(request.args.get("month", ""))
    if first is None:
        return redirect(url_for("month.page", month=request.args.get("month", "")[:20]), 303)
    person, found = current_person(), read(first, zone)
    body = b"".join(sheet_rows.written(HEADS, _rows(first, found)))
    named = (*found.lapsing, *found.soon, *found.labels, *found.labels_due)
    addresses = len({line.job_id for line in named if line.address})
    store().exports.note(person.organisation, person.id, "month", Wanted(), addresses)
    answer = Response(body, content_type="text/csv; charset=utf-8")
    answer.headers["Content-Disposition"] = f'attachment; filename="month-{first:%Y-%m}.csv"'
    return answer


@blueprint.post("/labels/<job_id>/reported")
@require("office", "owner")
def reported(job_id: str) -> Any:
    """Note that the use of a job's label was reported today; a day that is noted already stays."""
    person = current_person()
    facts = store().desk.get(person.organisation, job_id).facts
    if not facts.get(USED_ON):
        abort(409, "Nobody has noted that a label was used at this job.")
    if not facts.get(REPORTED_ON):
        today = firm_days.day_of(store().database.now(), _zone()).isoformat()
        store().desk.save(person.organisation, person.id, job_id, facts={REPORTED_ON: today})
    month = firm_days.read_month(one("month"))
    shown = {"month": f"{month:%Y-%m}"} if month else {}
    return redirect(url_for("month.page", **shown, _anchor="labels-part"), 303)


def read(first: date, zone: ZoneInfo) -> Month:
    """Return the figures of the month that begins on `first`, as the firm counts its days."""
    person = current_person()
    if person is None:
        abort(401)
    last = firm_days.next_month(first) - timedelta(days=1)
    since, until = firm_days.begin_of(first, zone), firm_days.end_of(last, zone)
    today = firm_days.day_of(store().database.now(), zone).isoformat()
    found: Month = store().months.read(
        person.organisation, since, until, first.isoformat(), last.isoformat(), today
    )
    return found


def _zone() -> ZoneInfo:
    firm = current_organisation()
    return firm_days.zone_of(firm.settings if firm else {})


def _page(
    first: date, today: date, zone: ZoneInfo, errors: dict[str, str] | None = None, typed: str = ""
) -> str:
    found = read(first, zone)
    issued, revised = (Counter({kind: 0 for kind in KINDS_MANY}) for _ in range(2))
    for counted, papers in ((issued, found.issued), (revised, found.revised)):
        for (kind, _), count in papers.items():
            counted[kind] += count
    return render_template(
        "office/month.html", first=first, title=f"{month_name[first.month]} {first.year}", found=found,
        issued=issued, revised=revised, soon_days=SOON_DAYS, kinds=KINDS_MANY, shares=_shares(found),
        shown=SHOWN, report_days=REPORT_DAYS, zone=zone.key, today=today,
        failed=_failed(found), before=_beside(first, -1), after=_beside(first, 1),
        now=today.replace(day=1), errors=errors or {},
        typed=typed or f"{first:%Y-%m}",
    )  # fmt: skip


def _beside(first: date, by: int) -> date | None:
    """The month before or after, where it can be shown."""
    there = firm_days.next_month(first, by)
    return there if firm_days.FIRST_YEAR <= there.year <= firm_days.LAST_YEAR else None


def _shares(found: Month) -> list[Share]:
    """Everybody of the month by name, who is not known last."""
    person = current_person()
    names = {one.id: one.name for one in store().people.all(person.organisation)} if person else {}
    names |= {ERASED: ERASED_WORDS}
    papers = {who for _, who in (*found.issued, *found.revised)}
    known = papers | set(found.unsigned) | set(found.to_fix) | set(found.uninspected)
    last = (None, ERASED)
    ordered = sorted(
        known, key=lambda who: (who in last, who not in names, names.get(who, ""), who or 0)
    )
    shares = [
        Share(
            names.get(who, NOT_KNOWN), {kind: found.issued[kind, who] for kind in KINDS_MANY},
            {kind: found.revised[kind, who] for kind in KINDS_MANY},
            found.unsigned[who], found.to_fix[who], found.uninspected[who], who == ERASED,
        )
        for who in ordered
    ]  # fmt: skip
    return shares


def _failed(found: Month) -> list[tuple[str, int]]:
    """What inspectors named, the most frequent first."""
    ordered = sorted(found.failed.items(), key=lambda one: (-one[1], one[0]))
    return [(topic_and_name(check) if check else OTHER_THING, count) for check, count in ordered]


def _label_words(label: Label) -> str:
    licence = f"license {label.licence}" if label.licence else "no license noted"
    return "; ".join((label.number or "no number noted", licence, label.address or "no address yet"))


def _rows(first: date, found: Month) -> Iterator[tuple[sheet_rows.Cell, ...]]:
    month = f"{first:%Y-%m}"
    for share in _shares(found):
        for kind, count in share.issued.items():
            yield month, f"issued, {KINDS[kind].lower()}", share.name, count
            yield month, f"revision issued, {KINDS[kind].lower()}", share.name, share.revised[kind]
        if share.erased:
            continue
        yield month, "waiting for signature today", share.name, share.unsigned
        yield month, "things to fix today, second visit due", share.name, share.to_fix
        yield month, "waiting for inspection today", share.name, share.uninspected
    yield month, "void since", None, found.void
    yield month, "first inspections", None, found.first_jobs
    yield month, "first inspections not passed", None, found.failed_jobs
    for name, count in _failed(found):
        yield month, "named at a first inspection", name, count
    for line in found.lapsing:
        yield month, "permit lapses", line.address or None, date.fromisoformat(line.permit_expires_on)
    for line in found.soon:
        ends = date.fromisoformat(line.permit_expires_on)
        yield month, f"permit lapses within {SOON_DAYS} days from today", line.address or None, ends
    for figure, labels in (("label used", found.labels), ("label to report, from today", found.labels_due)):
        for label in labels:
            yield month, figure, _label_words(label), date.fromisoformat(label.used_on)
            what = "reported on" if label.reported_on else "report by"
            day = date.fromisoformat(label.reported_on or label.report_by)
            yield month, f"{figure}: {what}", _label_words(label), day
    if found.minutes is not None:
        yield month, "average minutes from beginning to signature", None, round(found.minutes)
