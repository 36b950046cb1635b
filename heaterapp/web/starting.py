"""A new job: the few things it starts with, and what the account and the last job already know."""

from __future__ import annotations

from collections.abc import Mapping
from typing import Any

from flask import Blueprint, redirect, render_template, request, url_for

from heaterapp import rules
from heaterapp.filling.starting import STARTERS, account_answers, known_already, started
from heaterapp.languages import say
from heaterapp.rules import CATALOGUE
from heaterapp.web.chosen_codes import as_answers, choices
from heaterapp.web.security import current_organisation, current_person, require, store

blueprint = Blueprint("starting", __name__, url_prefix="/jobs")


def _starter(given: Mapping[str, Any], errors: Mapping[str, str]) -> str:
    return render_template(
        "job/new.html", given=given, errors=errors, questions=CATALOGUE, places=choices(),
        default_place=_default_place(),
    )  # fmt: skip


def _default_place() -> str:
    """The codes that the firm chose for new jobs; empty where it chose none, for nobody else may."""
    chosen = current_organisation().settings.get("place")
    return rules.place_names().get(str(chosen), "")


@blueprint.get("/new")
@require("installer", "owner")
def begin() -> Any:
    """Ask the few things that a job starts with."""
    city = _last_answers().get("address_city", "")
    return _starter({"place": _default_place(), "job_kind": "same_place", "address_city": city}, {})


def _last_answers() -> Mapping[str, Any]:
    person = current_person()
    last = store().jobs.jobs_for(person.organisation, person.id, limit=1)
    return last[0].answers if last else {}


@blueprint.post("/new")
@require("installer", "owner")
def create() -> Any:
    """Make the job and open its first section; what cannot be read is asked again."""
    person, firm = current_person(), current_organisation()
    sent = {name: request.form.getlist(name) for name in STARTERS}
    given = {name: one[0] for name, one in sent.items() if len(one) == 1}
    given["place"] = given.get("place") or _default_place()
    answers, errors = started(given, as_answers)
    for name in (n for n, one in sent.items() if len(one) > 1):
        label = say(CATALOGUE[name].label)
        errors[name] = say("{label}: expected {wanted}", label=label, wanted=say("one answer, sent once"))
    if errors:
        return _starter(request.form, errors), 422
    account = account_answers(
        {"name": person.name, "licence": person.licence}, {"name": firm.name, "licence": firm.licence}
    )
    answers |= known_already(answers, account, _last_answers())
    job = store().jobs.create(person.organisation, person.id, answers)
    return redirect(url_for("jobs.section", job_id=job.id, section="job"))
