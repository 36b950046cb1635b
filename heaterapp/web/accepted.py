"""What the authority accepted: recorded with by, on and why, for one finding as it stood; taken back."""

from __future__ import annotations

from typing import Any

from flask import Blueprint, redirect, request, url_for

from heaterapp import rules
from heaterapp.filling.judging import judged
from heaterapp.rules import BadAnswer
from heaterapp.web.jobs import review_page
from heaterapp.web.one_job import draft_of
from heaterapp.web.security import require, store
from heaterapp.web.signing import once
from heaterapp.web.unread import not_read

blueprint = Blueprint("accepted", __name__, url_prefix="/jobs")
ACCEPTABLE = ("fails", "authority", "engineer")
DANGER = "This is a danger, and nobody can accept it: make it safe, then measure again."
UNREAD = "What was accepted before stays stored, but this version cannot read it: nothing was recorded."
UNKNOWN = "What was accepted: expected one check of this job that is open. Nothing was recorded."
ANOTHER = "What was found is not what this page showed any more. Look at it, then record it again."
ALL_THREE = "Who accepted it, on which date, and why: all three, the date as YYYY-MM-DD."


@blueprint.post("/<job_id>/accept")
@require("installer", "owner")
def accept(job_id: str) -> Any:
    """Record what the authority accepted, or take it back."""
    job = draft_of(job_id)
    given = {k: once(k) for k in ("check", "by", "on", "why", "of")}
    check, shown = given.pop("check"), given.pop("of")
    if "acceptances" in not_read():
        return review_page(job, {"main": UNREAD}), 422
    held = dict(job.answers.get("acceptances") or {})
    if request.form.get("act") == "take-back" and check in held:
        del held[check]
        return _recorded(job, held, check)
    found = {f["check"]: f for f in judged(job.answers)["findings"] if f["kind"] == "rule"}.get(check, {})
    if found.get("hazard"):
        return review_page(job, {f"by-{check}": DANGER}, {"check": check, **given}), 422
    if found.get("verdict") not in ACCEPTABLE or request.form.get("act") == "take-back":
        return review_page(job, {"main": UNKNOWN}), 422
    if shown != rules.mark_of(found):
        return review_page(job, {f"by-{check}": ANOTHER}, {"check": check, **given}), 422
    held[check] = {**given, "verdict": found["verdict"], "found": found["found"] or "", "of": shown}
    try:
        read = rules.Job({"acceptances": held}).acceptances
    except BadAnswer:
        return review_page(job, {f"by-{check}": ALL_THREE}, {"check": check, **given}), 422
    return _recorded(job, read, check)


def _recorded(job: Any, held: Any, check: str) -> Any:
    # On the revision that was read: an acceptance from another device must not be written over.
    store().jobs.save_answers(job.organisation, job.id, {"acceptances": held or None}, job.revision)
    return redirect(url_for("jobs.review", job_id=job.id) + f"#check-{check}")
