"""The office: find a record, open it, pass it on to the homeowner."""

from __future__ import annotations

import json
from collections.abc import Mapping
from datetime import date
from typing import Any

from flask import Blueprint, Response, abort, redirect, render_template, request, url_for

from heaterapp import archive, rules
from heaterapp.filling import photos
from heaterapp.sheet.draw.given import figures_taped
from heaterapp.sheet.findings import blocks, figures_html, findings_html, section_of
from heaterapp.web import link_ends, link_made, sealed
from heaterapp.web.days import day_of_record, shown_day
from heaterapp.web.desk_block import desk_of
from heaterapp.web.mail_block import block_of
from heaterapp.web.one_record import line_of, open_record, story
from heaterapp.web.papers_offered import offered_now
from heaterapp.web.places import place_title
from heaterapp.web.plain_forms import one
from heaterapp.web.qr import qr
from heaterapp.web.recorded import amended_words, recorded
from heaterapp.web.search_words import beside, erased_paper, found, like_a_check_code
from heaterapp.web.security import current_person, require, store

blueprint = Blueprint("office", __name__, url_prefix="/office")
KINDS = {
    "certificate": "Certificate",
    "correction_list": "Correction list",
    "findings_report": "Findings report",
}
STATES = {"current": "Current", "replaced": "Replaced", "void": "Void"}
PER_PAGE = 50
LONGEST_TEXT = 200
LAST_RECORD = 2**53
LONGEST_DAY = 20
SAYS_DAY = "A day such as 2026-03-14 was expected."
LONGEST_KEY = 16
TYPES = {
    "pdf": "application/pdf",
    "json": "application/json",
    "html": "text/html; charset=utf-8",
    "png": "image/png",
    "jpg": "image/jpeg",
    "zip": "application/zip",
}
OUTCOMES = {
    "ready": "Nothing to fix",
    "fix": "Something to fix",
    "unfinished": "Something was not answered",
}
FOR_VIEWERS = "default-src 'none'; object-src 'self'; style-src 'unsafe-inline'; frame-ancestors 'none'"
"""A browser shows a PDF by a page of its own making, which embeds and styles it."""
FACTS = {
    "owner": "Owner",
    "work_date": "Date of the work",
    "installer": "Installer",
    "model": "Model",
    "serial": "Serial number",
    "permit": "Permit",
}

LOOKED_OVER = {"work_date": "Looked over on", "installer": "Looked over by"}
"""Instead, of an installation that others made."""


@blueprint.get("")
@require("office", "owner")
def records() -> Any:
    """Show the search box and the records that match it, the newest when it is empty."""
    asked = request.args
    text = asked.get("q", "")[:LONGEST_TEXT]
    kind = asked.get("kind") if asked.get("kind") in KINDS else None
    state = asked.get("state") if asked.get("state") in STATES else None
    after = _after(asked.get("after", ""))
    crew = {str(one.id): one.name for one in store().people.all(current_person().organisation)}
    installer = asked.get("installer") if asked.get("installer") in crew else None
    days = {name: asked.get(name, "")[:LONGEST_DAY].strip() for name in ("since", "until")}
    errors = {name: SAYS_DAY for name, day in days.items() if day and not _is_day(day)}
    if not errors and days["since"] and days["until"] and days["since"] > days["until"]:
        errors["until"] = "This day is before the first one: a day on or after it was expected."
    narrowed = {"kind": kind, "state": state, "person": int(installer) if installer else None, **days}
    hits, following, words = ([], None, text) if errors else found(text, narrowed, after, PER_PAGE)
    first = bool(text.strip()) and after is None
    others = beside(text, {hit.job_id for hit in hits}) if first else []
    return render_template(
        "office/records.html", text=text, words=words, kind=kind, state=state, after=after, hits=hits,
        crew=crew, following=following, kinds=KINDS, states=STATES, installer=installer, days=days,
        errors=errors, beside=others, gone=erased_paper(text) if first else None,
        is_code=like_a_check_code(text),
    ), 400 if errors else 200  # fmt: skip


@blueprint.get("/")
@require("office", "owner")
def slashed() -> Any:
    """Lead from the address with a slash, as it is often typed, to the one without."""
    return redirect(url_for(".records", **request.args.to_dict()), 308)


@blueprint.get("/records/<number>")
@require("office", "owner")
def record(number: str) -> Any:
    """Show one record whole; of an erased one who erased it, when and why."""
    try:
        opened = open_record(number)
        return record_page(opened, link=link_made.made(opened, once=True).address)
    except archive.Erased:
        return _erased_page(line_of(number)), 410


@blueprint.get("/records/<number>/file/<name>")
@require("office", "owner")
def file(number: str, name: str) -> Any:
    """Give a stored file, to the byte; a paper with the seal after it, where the firm wants it."""
    opened = open_record(number)
    return attachment(opened, name, shown=request.args.get("as") == "page")


@blueprint.post("/records/<number>/share")
@require("office", "owner")
def share(number: str) -> Any:
    """Make a link for the homeowner, shown this once, or close one for good."""
    opened, person = open_record(number), current_person()
    said = request.form.getlist("act")
    act = said[0] if len(said) == 1 else ""
    if act == "make":
        if store().records.status(opened.organisation, opened.id).state == "void":
            return record_page(opened, said=f"{opened.number} is void: no link is made to it."), 409
        end = link_ends.chosen(request.form)
        if end.errors:
            return record_page(opened, errors=end.errors), 422
        link_made.make(opened, one("key"), person.id, end.at)
        return redirect(url_for(".record", number=opened.number) + "#link-made", 303)
    if act == "lead":
        led = link_ends.led_on(opened, request.form.get("share", ""), person.id)
        return record_page(opened, said=led) if led else abort(404)
    if act == "revoke":
        chosen = request.form.get("share", "")
        known = {str(line.share.id): line for line in link_ends.lines(opened)}
        if chosen not in known:
            abort(404)
        store().shares.revoke(person.organisation, known[chosen].share.id, person.id)
        return record_page(opened, said=f"L{known[chosen].name[1:]} is closed. Nobody can open it any more.")
    abort(400)


def attachment(opened: archive.Record, name: str, shown: bool = False) -> Response:
    """Return a stored file, sealed where it is handed out so, to be saved or shown; not kept on the way."""
    body, name = sealed.handed_out(opened, name)
    kind = TYPES.get(name.rpartition(".")[2], "application/octet-stream")
    answer = Response(body, content_type=kind)
    how = "inline" if shown else "attachment"
    answer.headers["Content-Disposition"] = f'{how}; filename="{opened.number}-{name}"'
    if shown:
        answer.headers["Content-Security-Policy"] = FOR_VIEWERS
    answer.headers["Cache-Control"] = "no-store"
    return answer


def _erased_page(hit: archive.Hit) -> str:
    hits = store().records.of_job(current_person().organisation, hit.job_id)
    return render_template(
        "office/erased.html", hit=hit, kinds=KINDS, history=hits, acts=story(hits), number=hit.number
    )


def record_page(
    opened: archive.Record, link: str = "", said: str = "", errors: Mapping[str, str] | None = None
) -> str:
    """Return the page of one record.

    link    the homeowner's, just made
    errors  of its forms, by the names of their boxes
    """
    records, org = store().records, opened.organisation
    report = json.loads(opened.report)
    history = records.of_job(org, opened.job_id)
    status = records.status(org, opened.id)
    return render_template(
        "office/record.html",
        record=opened,
        kind=KINDS[opened.kind],
        facts=[(label, _fact(opened.facts, name)) for name, label in _labels(opened.kind).items()],
        place=place_title(opened.facts.place or report.get("place", "")),
        amended=amended_words(report["amended_by"]) if report.get("amended_by") else "",
        status=status,
        standing=next((hit.number for hit in history if hit.state == "current" and hit.finished), ""),
        desk=desk_of(org, opened.job_id),
        history=history,
        acts=story(history),
        until=store().kept_until(org, opened.job_id),
        holds=[one for one in store().holds.of_job(org, opened.job_id) if one.lifted_at is None],
        awaited=store().corrections.opened(org, opened.job_id),
        kinds=KINDS,
        offers=offered_now(opened, status.state),
        void_day=shown_day(day_of_record(opened, status.voided_at)) if status.voided_at else "",
        outcome=OUTCOMES.get(report["outcome"], ""), outcomes=OUTCOMES,
        sections=_by_section(report),
        recorded=recorded(json.loads(opened.job)),
        links=link_ends.lines(opened), older=link_ends.older(opened),
        ends=link_ends.offered(), ends_usual=link_ends.usual(), end_example=link_ends.example_day(),
        errors=errors or {},
        typed=request.form,
        arrived=store().arrivals.of_record(org, opened.id),
        photo_words=photo_words,
        link=link,
        share_key=link_made.fresh_key(),
        qr=qr(link) if link else "",
        said=said,
        mail=block_of(opened, status.state, errors or {}, request.args.get("mail", "")),
    )


def _labels(kind: str) -> dict[str, str]:
    return FACTS | LOOKED_OVER if kind == "findings_report" else FACTS


def _fact(facts: Any, name: str) -> str:
    said = str(getattr(facts, name))
    return shown_day(said) if name == "work_date" else said


def photo_words(kind: str) -> str:
    """What a photo shows, as the list of wanted photos calls it.

    >>> photo_words("plate"), photo_words("other_thing")
    ('Data plate', 'Other thing')
    """
    known = {one.kind: one.label.en for one in photos.LIST}
    return known.get(kind, kind.replace("_", " ").capitalize())


def _by_section(report: dict[str, Any]) -> list[tuple[str, str]]:
    """Return what to fix, then each section's name with its findings and figures, where it has any."""
    grave = [finding for finding in report["findings"] if blocks(finding)]
    told = [("To fix", findings_html(grave))] if grave else []
    for section, title in rules.SECTIONS.items():
        mine = [one for one in report["findings"] if section_of(one) == section and not blocks(one)]
        html = findings_html(mine, brief=True) + figures_html(figures_taped(report), section, brief=True)
        if html:
            told.append((title, html))
    return told


def _is_day(text: str) -> bool:
    try:
        return date.fromisoformat(text).isoformat() == text
    except ValueError:
        return False


def _after(text: str) -> int | None:
    # The length first: a number of thousands of digits cannot even be read.
    known = len(text) <= LONGEST_KEY and text.isascii() and text.isdecimal() and 0 < int(text) < LAST_RECORD
    return int(text) if known else None
