"""A new job: the few things it starts with, and what the account and the last job already know."""

from __future__ import annotations

from collections.abc import Mapping
from typing import Any

from flask import Blueprint, redirect, render_template, request, url_for

from heaterapp import rules
from heaterapp.forms import read_one
from heaterapp.rules import CATALOGUE, BadAnswer
from heaterapp.web.chosen_codes import as_answers, choices
from heaterapp.web.security import current_organisation, current_person, require, store

blueprint = Blueprint("starting", __name__, url_prefix="/jobs")
TOWN = ("design_winter_temperature_f", "elevation_ft")
STARTERS = ("job_kind", "heater_kind", "place", "address_street", "address_city")


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
    answers: dict[str, Any] = {}
    errors: dict[str, str] = {}
    for name in STARTERS:
        try:
            if len(request.form.getlist(name)) > 1:
                raise BadAnswer(name, "one answer, sent once")
            sent = request.form.get(name)
            given = sent or (_default_place() if name == "place" else sent)
            if name == "place" and given:
                answers |= {key: held for key, held in as_answers(given).items() if held}
                continue
            value = read_one(name, given) if name != "place" else None
            if value is not None:
                answers[name] = value
        except BadAnswer as bad:
            errors[name] = f"{CATALOGUE[name].label}: expected {bad.said}"
    for name in ("job_kind", "heater_kind", "place"):
        if name not in answers and name not in errors:
            errors[name] = f"{CATALOGUE[name].label}: choose one"
    if errors:
        return _starter(request.form, errors), 422
    last = _last_answers()
    if last.get("address_state") and last.get("address_city") == answers.get("address_city"):
        answers["address_state"] = last["address_state"]
        # What is the town's, not the address's: taken over, and told on the paper as accepted, not measured.
        town = {name: last[name] for name in TOWN if isinstance(last.get(name), str)}
        answers |= {**town, "accepted_as_usual": sorted(town)} if town else {}
    if answers["job_kind"] != "existing":
        known = {
            "installer_name": person.name, "installer_licence": person.licence,
            "contractor_name": firm.name, "contractor_licence": firm.licence,
        }  # fmt: skip
        answers |= {k: v[: rules.LONGEST_TEXT] for k, v in known.items() if v}
    job = store().jobs.create(person.organisation, person.id, answers)
    return redirect(url_for("jobs.section", job_id=job.id, section="job"))
