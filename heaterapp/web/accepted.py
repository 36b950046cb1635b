"""What the authority accepted: recorded with by, on and why, for one finding as it stood; taken back."""

from __future__ import annotations

from typing import Any

from flask import Blueprint, redirect, request, url_for

from heaterapp.filling.accepting import NotRecorded, acceptances
from heaterapp.languages import say
from heaterapp.web.jobs import review_page
from heaterapp.web.one_job import draft_of
from heaterapp.web.security import require, store
from heaterapp.web.signing import once
from heaterapp.web.unread import not_read

blueprint = Blueprint("accepted", __name__, url_prefix="/jobs")
UNREAD = "What was accepted before stays stored, but this version cannot read it: nothing was recorded."


@blueprint.post("/<job_id>/accept")
@require("installer", "owner")
def accept(job_id: str) -> Any:
    """Record what the authority accepted, or take it back."""
    job = draft_of(job_id)
    given = {k: once(k) for k in ("check", "by", "on", "why", "of")}
    if "acceptances" in not_read():
        return review_page(job, {"main": say(UNREAD)}), 422
    try:
        held = acceptances(job.answers, {**given, "act": request.form.get("act", "")})
    except NotRecorded as fault:
        typed = {k: given[k] for k in ("check", "by", "on", "why")} if fault.check else None
        return review_page(job, {f"by-{fault.check}" if fault.check else "main": str(fault)}, typed), 422
    # On the revision that was read: an acceptance from another device must not be written over.
    store().jobs.save_answers(job.organisation, job.id, {"acceptances": held or None}, job.revision)
    return redirect(url_for("jobs.review", job_id=job.id) + f"#check-{given['check']}")
