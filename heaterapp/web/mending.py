"""The second visit's installer says what of the inspector's items is mended."""

from __future__ import annotations

from dataclasses import replace
from typing import Any

from flask import Blueprint, redirect, request, url_for

from heaterapp import archive
from heaterapp.archive.checking import printable
from heaterapp.archive.desk_shapes import DeskConflict, Inspection, Item
from heaterapp.languages import say
from heaterapp.web.days import today
from heaterapp.web.inspected import inspected
from heaterapp.web.jobs import review_page
from heaterapp.web.one_job import draft_of
from heaterapp.web.security import current_person, require, store

blueprint = Blueprint("mending", __name__, url_prefix="/jobs")
LONGEST = 300
NONE_LEFT = "The inspector's items: none are left to mend here."
ONE_LINE = "Item {at}, what was done: expected one line of up to {longest} characters"
MEANWHILE = "Somebody else changed these items meanwhile. Look at what stands here now, and save again."


@blueprint.post("/<job_id>/mended")
@require("installer", "owner")
def mended(job_id: str) -> Any:
    """Keep what is said of each item; what is not said stays as it is."""
    job = draft_of(job_id)
    visit = inspected(job)
    form = typed()
    if visit is None:
        return _again(job, {"asked-for": say(NONE_LEFT)}, form, 409)
    items, errors = read_items(visit, form)
    if errors:
        return _again(job, errors, form, 422)
    try:
        keep(visit, items, form)
    except DeskConflict:
        return _again(job, {"asked-for": say(MEANWHILE)}, form, 409)
    if form.get("back") == "sign":
        return redirect(url_for("signing.sign", job_id=job.id), 303)
    return redirect(url_for("jobs.review", job_id=job.id) + "#asked-for", 303)


def typed() -> dict[str, str]:
    """What the form says, by field."""
    return {name: request.form.get(name, "") for name in request.form if name != "csrf_token"}


def read_items(visit: Inspection, form: dict[str, str]) -> tuple[list[Item], dict[str, str]]:
    """Return the items as a form says they stand now, and what could not be read, by field."""
    items, errors = [], {}
    for at, item in enumerate(visit.items, 1):
        answer, said = form.get(f"mended-{at}", ""), form.get(f"said-{at}", item.said).strip()
        if answer not in ("", "yes", "no"):
            errors[f"mended-{at}"] = say("Item {at}, mended: expected yes or no", at=at)
        if len(said) > LONGEST or not printable(said):
            errors[f"said-{at}"] = say(ONE_LINE, at=at, longest=LONGEST)
        fixed = {"yes": item.fixed_on or today(), "no": "", "": item.fixed_on}.get(answer, "")
        items.append(replace(item, fixed_on=fixed, said=said))
    return items, errors


def keep(visit: Inspection, items: list[Item], form: dict[str, str]) -> None:
    """Keep the items, where the form was made of what stands there now, or already says it.

    raises  DeskConflict
    """
    if items == list(visit.items):
        return
    sent, person = form.get("items_revision", ""), current_person()
    known = sent.isascii() and sent.isdecimal() and len(sent) < 10 and form.get("visit") == str(visit.id)
    store().inspections.mend(person.organisation, person.id, visit.id, int(sent) if known else 0, items)


def _again(job: archive.Job, errors: dict[str, str], form: dict[str, str], status: int) -> Any:
    return review_page(job, errors, {name: text for name, text in form.items() if "-" in name}), status
