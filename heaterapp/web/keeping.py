"""Holds on a job, how long it is kept, and its erasure: the office may hold, the owner alone may erase."""

from __future__ import annotations

from dataclasses import dataclass
from typing import Any

from flask import Blueprint, abort, redirect, render_template, request, url_for

from heaterapp import archive
from heaterapp.web.days import today
from heaterapp.web.desk_job import address_of
from heaterapp.web.history import reason_of
from heaterapp.web.one_record import line_of, names_of_people
from heaterapp.web.plain_forms import one
from heaterapp.web.security import current_person, require, store

blueprint = Blueprint("keeping", __name__, url_prefix="/office")
TICK = "Tick that all of this job is to be erased for good."
FIELDS = {"place": "hold_reason", "lift": "lift_reason"}


@dataclass(frozen=True)
class About:
    """The job, as it was come to: by the number of a record, or from the desk."""

    job_id: str
    title: str
    address: str
    back: str
    """The page that was come from."""
    own: dict[str, str]
    """What the address of these pages has of it: `number` or `job_id`."""

    def url(self, act: str) -> str:
        """The address of `page`, `hold` or `erase` for it."""
        return url_for(f"keeping.{act}", **self.own)


@blueprint.get("/records/<number>/keep")
@blueprint.get("/desk/<job_id>/keep")
@require("office", "owner")
def page(number: str = "", job_id: str = "") -> Any:
    """Show the holds, the day until which the job is kept, and for the owner its erasure."""
    return _page(_standing(number, job_id))


@blueprint.post("/records/<number>/hold")
@blueprint.post("/desk/<job_id>/hold")
@require("office", "owner")
def hold(number: str = "", job_id: str = "") -> Any:
    """Put the job on hold, or lift one."""
    job, person = _standing(number, job_id), current_person()
    act, holds = one("act"), store().holds
    if act not in FIELDS:
        abort(400)
    reason, errors = reason_of(request.form.getlist("reason"))
    if errors:
        at = "lift-" + one("hold") if act == "lift" else "hold"
        return _page(job, {f"reason-{at}": errors["reason"]}, {at: reason}), 422
    if act == "place":
        holds.place(person.organisation, job.job_id, person.id, reason)
    else:
        known = {str(held.id): held.id for held in holds.of_job(person.organisation, job.job_id)}
        if one("hold") not in known:
            abort(404)
        holds.lift(person.organisation, known[one("hold")], person.id, reason)
    return redirect(job.url("page"), 303)


@blueprint.post("/records/<number>/erase")
@blueprint.post("/desk/<job_id>/erase")
@require("owner")
def erase(number: str = "", job_id: str = "") -> Any:
    """Erase the whole job, on request or by the rule of keeping."""
    job, person = _standing(number, job_id), current_person()
    act = one("act")
    if act not in ("request", "rule"):
        abort(400)
    reason, wrong = reason_of(request.form.getlist("reason")) if act == "request" else ("", {})
    errors = {"reason-erase": wrong["reason"]} if wrong else {}
    if one("sure") != "yes":
        errors[f"sure-{act}"] = TICK
    if errors:
        return _page(job, errors, {"erase": reason}), 422
    try:
        if act == "request":
            store().erase_job(person.organisation, job.job_id, person.id, reason)
        else:
            store().retire_job(person.organisation, job.job_id, person.id)
    except (archive.UnderHold, archive.KeptLonger, archive.NotByRule) as refusal:
        at = "reason-erase" if act == "request" else "sure-rule"
        return _page(job, {at: str(refusal)}, {"erase": reason}), 409
    return redirect(job.back if number else url_for("desk.board"), 303)


def _standing(number: str, job_id: str) -> About:
    """The job, unless its content is gone; no body is read, one that is lost hinders nothing.

    Raises NotFound, Erased.
    """
    if number:
        hit = line_of(number)
        if hit.erased:
            raise archive.Erased("The content was erased for privacy.")
        back = url_for("office.record", number=hit.number)
        return About(hit.job_id, hit.number, hit.facts.address, back, {"number": hit.number})
    job = store().desk.get(current_person().organisation, job_id)
    if job.job.state == "erased":
        raise archive.Erased("The job was erased for privacy.")
    known, address = job.job.id, address_of(job)
    back = url_for("desk_job.page", job_id=known)
    return About(known, address or "the job", address, back, {"job_id": known})


def _owners(organisation: int) -> list[str]:
    people = store().people.all(organisation)
    return sorted(one.name for one in people if one.role == "owner" and not one.disabled)


def _page(about: About, errors: dict[str, str] | None = None, given: dict[str, str] | None = None) -> str:
    org, person = current_person().organisation, current_person()
    holds = store().holds.of_job(org, about.job_id)
    until = store().kept_until(org, about.job_id)
    is_open = store().jobs.get(org, about.job_id).state == "draft"
    return render_template(
        "office/keep.html", about=about, errors=errors or {}, given=given or {}, holds=holds, until=until,
        is_open=is_open, over=until is not None and not is_open and until <= today(),
        held=any(one.lifted_at is None for one in holds), people=names_of_people(),
        may_erase=person.role == "owner", owners=_owners(org),
        history=[one for one in store().records.of_job(org, about.job_id) if one.finished],
    )  # fmt: skip
