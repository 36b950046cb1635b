"""A job's permit at the desk: its number and dates, an extension, and what a portal asks."""

from __future__ import annotations

from collections.abc import Mapping
from typing import Any

from flask import Blueprint, Response, redirect, render_template, request, url_for

from heaterapp.archive.checking import LONGEST_REASON, printable
from heaterapp.archive.desk_shapes import DeskConflict
from heaterapp.web.days import read_day, shown_day
from heaterapp.web.desk import conflict_words
from heaterapp.web.desk_fields import FIELDS, read_form, seen_from
from heaterapp.web.desk_job import (
    address_of,
    job_page,
    opened,
    permit_fields,
    permit_texts,
    sent_revisions,
    still_typed,
    unfit,
)
from heaterapp.web.firm_settings import OF_EACH_JOB
from heaterapp.web.permit_facts import facts_asked, plain_text
from heaterapp.web.security import current_organisation, current_person, require, store

blueprint = Blueprint("desk_permit", __name__, url_prefix="/office/desk")
BOTH = ("office", "owner")
ANSWERED = frozenset(name for name, one in FIELDS.items() if one.answer)


@blueprint.post("/<job_id>/permit")
@require(*BOTH)
def permit(job_id: str) -> Any:
    """Save the permit."""
    job, person = opened(job_id), current_person()
    seen = seen_from(request.form.get("seen"))
    read = read_form(request.form, permit_fields(job), seen)
    read.errors |= unfit(job, read.answers) or _backwards(read.facts, job.facts)
    if read.errors:
        return job_page(job, read.errors, read.typed, seen), 422
    revision, job_revision = sent_revisions(job)
    # The office's word on an issued job gives way to the job's own answers once they can be changed.
    kept = {**read.facts, **{name: "" for name in read.answers if name in job.facts}}
    try:
        store().desk.save(
            person.organisation, person.id, job.job.id, facts=kept, answers=read.answers,
            revision=revision, job_revision=job_revision,
        )  # fmt: skip
    except DeskConflict as conflict:
        now = opened(job_id)
        typed = still_typed(read, seen, permit_texts(now))
        return job_page(now, conflict_words(conflict.clashes), typed), 409
    return redirect(url_for("desk_job.page", job_id=job.job.id, said="permit") + "#permit", 303)


@blueprint.post("/<job_id>/permit/extend")
@require(*BOTH)
def extend(job_id: str) -> Any:
    """Keep a new end of the permit, with the reason."""
    job, person, errors = opened(job_id), current_person(), {}
    typed = {name: request.form.get(name, "") for name in ("extended_to", "reason")}
    until = ""
    try:
        until = read_day(typed["extended_to"])
    except ValueError as bad:
        # An example would be a day that is refused as soon as it is past.
        after = job.permit_expires_on
        wants = f"expected a day after {shown_day(after)}, as month/day/year" if after else str(bad)
        errors["extended_to"] = f"New end: {wants}"
    if not until and not errors:
        errors["extended_to"] = "New end: type the date"
    elif until and job.permit_expires_on and until <= job.permit_expires_on:
        errors["extended_to"] = f"New end: expected a day after {shown_day(job.permit_expires_on)}"
    if not typed["reason"].strip():
        errors["reason"] = "Reason: say who granted it and why"
    elif len(typed["reason"].strip()) > LONGEST_REASON or not printable(typed["reason"].strip()):
        errors["reason"] = f"Reason: expected one line of at most {LONGEST_REASON} characters"
    if errors:
        return job_page(job, errors, typed), 422
    changes = {"permit_expires_on": until}
    try:
        store().desk.save(
            person.organisation, person.id, job.job.id, facts=changes, reason=typed["reason"],
            revision=sent_revisions(job)[0] if "revision" in request.form else None,
        )  # fmt: skip
    except DeskConflict as conflict:
        told = conflict_words(conflict.clashes)
        return job_page(opened(job_id), {"extended_to": told["permit_expires_on"]}, typed), 409
    return redirect(url_for("desk_job.page", job_id=job.job.id, said="extended") + "#permit", 303)


@blueprint.get("/<job_id>/permit-facts")
@require(*BOTH)
def permit_facts(job_id: str) -> Any:
    """Show the permit facts in the order in which portals ask, or give them as plain text."""
    job = opened(job_id)
    asked = facts_asked(job.job.answers, job.facts, current_organisation())
    if request.args.get("as") == "text":
        answer = Response(plain_text(asked), content_type="text/plain; charset=utf-8")
        answer.headers["Content-Disposition"] = 'attachment; filename="permit-facts.txt"'
        return answer
    missing = [one for one in asked if not one.said]
    return render_template(
        "office/permit_facts.html", job=job, asked=asked, missing=missing, text=plain_text(asked),
        address=address_of(job), asked_at_draft=ANSWERED,
        of_firm=(*OF_EACH_JOB, "contractor_name", "contractor_licence"),
    )  # fmt: skip


def _backwards(facts: Mapping[str, str], held: Mapping[str, str]) -> dict[str, str]:
    issued, ends = ({**held, **facts}.get(f"permit_{name}_on", "") for name in ("issued", "expires"))
    if issued and ends and ends < issued:
        return {"permit_expires_on": "Lapses on: expected a day after the day of issue"}
    return {}
