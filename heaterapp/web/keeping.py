"""Holds on a job, how long it is kept, and its erasure: the office may hold, the owner alone may erase."""

from __future__ import annotations

from typing import Any

from flask import Blueprint, abort, redirect, render_template, request, url_for

from heaterapp import archive
from heaterapp.web.history import reason_of
from heaterapp.web.one_record import line_of, names_of_people
from heaterapp.web.plain_forms import one
from heaterapp.web.security import current_person, require, store

blueprint = Blueprint("keeping", __name__, url_prefix="/office/records")
TICK = "Tick that all of this job is to be erased for good."
FIELDS = {"place": "hold_reason", "lift": "lift_reason"}


@blueprint.get("/<number>/keep")
@require("office", "owner")
def page(number: str) -> Any:
    """Show the holds, the day until which the job is kept, and for the owner its erasure."""
    hit = _standing(number)
    return _page(hit)


@blueprint.post("/<number>/hold")
@require("office", "owner")
def hold(number: str) -> Any:
    """Put the job on hold, or lift one."""
    hit, person = _standing(number), current_person()
    act, holds = one("act"), store().holds
    if act not in FIELDS:
        abort(400)
    reason, errors = reason_of(request.form.getlist("reason"))
    if errors:
        at = "lift-" + one("hold") if act == "lift" else "hold"
        return _page(hit, {f"reason-{at}": errors["reason"]}, {at: reason}), 422
    if act == "place":
        holds.place(person.organisation, hit.job_id, person.id, reason)
    else:
        known = {str(held.id): held.id for held in holds.of_job(person.organisation, hit.job_id)}
        if one("hold") not in known:
            abort(404)
        holds.lift(person.organisation, known[one("hold")], person.id, reason)
    return redirect(url_for(".page", number=hit.number), 303)


@blueprint.post("/<number>/erase")
@require("owner")
def erase(number: str) -> Any:
    """Erase the whole job, on request or by the rule of keeping."""
    hit, person = _standing(number), current_person()
    act = one("act")
    if act not in ("request", "rule"):
        abort(400)
    reason, wrong = reason_of(request.form.getlist("reason")) if act == "request" else ("", {})
    errors = {"reason-erase": wrong["reason"]} if wrong else {}
    if one("sure") != "yes":
        errors[f"sure-{act}"] = TICK
    if errors:
        return _page(hit, errors, {"erase": reason}), 422
    try:
        if act == "request":
            store().erase_job(person.organisation, hit.job_id, person.id, reason)
        else:
            store().retire_job(person.organisation, hit.job_id, person.id)
    except (archive.UnderHold, archive.KeptLonger) as refusal:
        at = "reason-erase" if act == "request" else "sure-rule"
        return _page(hit, {at: str(refusal)}, {"erase": reason}), 409
    return redirect(url_for("office.record", number=hit.number), 303)


def _standing(number: str) -> archive.Hit:
    """The record's line, unless its content is gone. Raises NotFound, Erased."""
    hit = line_of(number)
    store().records.get(current_person().organisation, hit.record)
    return hit


def _page(hit: archive.Hit, errors: dict[str, str] | None = None, given: dict[str, str] | None = None) -> str:
    org, person = current_person().organisation, current_person()
    holds = store().holds.of_job(org, hit.job_id)
    until = store().kept_until(org, hit.job_id)
    return render_template(
        "office/keep.html", hit=hit, errors=errors or {}, given=given or {}, holds=holds, until=until,
        over=until is not None and until <= store().database.now()[:10],
        held=any(one.lifted_at is None for one in holds), people=names_of_people(),
        may_erase=person.role == "owner",
        history=[one for one in store().records.of_job(org, hit.job_id) if one.finished],
    )  # fmt: skip
