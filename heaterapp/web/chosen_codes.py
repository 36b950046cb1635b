"""Which codes a job is judged by: a place, or the firm's own amendments laid over one."""

from __future__ import annotations

from collections.abc import Mapping
from typing import Any

from flask import Blueprint, redirect, render_template, request, url_for

from heaterapp import archive, rules
from heaterapp.rules import CATALOGUE, BadAnswer
from heaterapp.web.jobs import place_titles
from heaterapp.web.one_job import draft_of, kept, revision_of
from heaterapp.web.security import current_person, require, store

blueprint = Blueprint("chosen_codes", __name__, url_prefix="/jobs")
OWN = "own:"


def choices() -> dict[str, str]:
    """What a job may be judged by, value -> words: the firm's own amendments before the places."""
    own = {
        OWN + one.name: f"{one.stored['title']} {one.version}, on {place_titles()[one.stored['base']]}"
        for one in store().amendments.current(current_person().organisation)
        if one.stored["base"] in place_titles()
    }
    return {**own, **place_titles()}


def as_answers(choice: str) -> dict[str, Any]:
    """A choice as a job's answers carry it: a place, and the amendments whole, or None for none.

    raises  BadAnswer for what cannot be chosen
    """
    if choice not in choices():
        raise BadAnswer("place", "one of the list")
    if not choice.startswith(OWN):
        return {"place": rules.place_names()[choice], "amendments": None}
    name = choice.removeprefix(OWN)
    stored = store().amendments.versions(current_person().organisation, name)[0].stored
    return {"place": stored["base"], "amendments": dict(stored)}


def standing(answers: Mapping[str, Any]) -> dict[str, Any] | None:
    """The amendments a job is judged by, and the version that stands now where it is another."""
    held = answers.get("amendments")
    if not isinstance(held, dict):
        return None
    current = {one.name: one for one in store().amendments.current(current_person().organisation)}
    now = current.get(str(held.get("name")))
    newer = now.version if now and now.version != held.get("version") else None
    return {
        "title": held.get("title"),
        "version": held.get("version"),
        "newer": newer,
        "withdrawn": now is None,
    }


@blueprint.get("/<job_id>/codes")
@require("installer", "owner")
def codes(job_id: str) -> Any:
    """Ask which codes this job is judged by."""
    return _page(draft_of(job_id), {})


@blueprint.post("/<job_id>/codes")
@require("installer", "owner")
def choose(job_id: str) -> Any:
    """Take the chosen codes and go back to the job."""
    job = draft_of(job_id)
    sent = request.form.getlist("codes")
    revision = revision_of(job, request.form.get("revision", ""))
    if len(sent) != 1 or revision is None:
        return _page(job, {"codes": "Adopted codes: choose one"}), 422
    try:
        changes = as_answers(sent[0])
    except BadAnswer as bad:
        return _page(job, {"codes": f"{CATALOGUE['place'].label}: expected {bad.expected}"}), 422
    _, clashes = kept(
        job, {name: given for name, given in changes.items() if job.answers.get(name) != given}, revision
    )
    if clashes:
        says = "Another device has changed the codes meanwhile: choose again"
        return _page(draft_of(job_id), {"codes": says}), 422
    return redirect(url_for("jobs.section", job_id=job.id, section="job"))


def _page(job: archive.Job, errors: dict[str, str]) -> str:
    held = standing(job.answers)
    name = (job.answers.get("amendments") or {}).get("name")
    return render_template(
        "job/codes.html", job=job, held=held, choices=choices(), errors=errors,
        chosen=OWN + name if name else job.answers.get("place", ""),
    )  # fmt: skip
