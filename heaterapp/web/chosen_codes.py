"""Which codes a job is judged by: a place, or the firm's own amendments laid over one."""

from __future__ import annotations

from collections.abc import Mapping
from typing import Any

from flask import Blueprint, redirect, render_template, request, url_for

from heaterapp import archive
from heaterapp.archive.amendments import Version
from heaterapp.languages import say, told
from heaterapp.rules import CATALOGUE, BadAnswer
from heaterapp.web.one_job import draft_of, kept, revision_of
from heaterapp.web.places import place_titles, served
from heaterapp.web.security import current_organisation, current_person, require, store

blueprint = Blueprint("chosen_codes", __name__, url_prefix="/jobs")
OWN = "own:"


def _own() -> dict[str, Version]:
    """The firm's own amendments in use, each under the value that chooses it."""
    in_use = store().amendments.current(current_person().organisation)
    return {OWN + one.name: one for one in in_use if one.stored["base"] in place_titles()}


def choices() -> dict[str, str]:
    """What a job may be judged by, value -> words: the firm's own amendments before the places."""
    own = {
        key: say(
            "{title} {version}, on {place}", title=one.stored["title"], version=one.version,
            place=say(place_titles()[one.stored["base"]]),
        )
        for key, one in _own().items()
    }
    return own | {key: say(title) for key, title in served(current_organisation().settings).items()}


def offered_places(present: object) -> dict[str, str]:
    """The places that a job may be judged by without amendments, and the one it is judged by now."""
    held = served(current_organisation().settings)
    also = place_titles().get(str(present))
    return {**held, str(present): also} if also else held


def not_served(changes: dict[str, Any], present: object) -> dict[str, str]:
    """Take a place that this firm does not serve out of what is to be saved, and say so by name."""
    chosen = changes.get("place")
    if chosen is None or chosen in offered_places(present):
        return {}
    del changes["place"]
    return {"place": say("one of the list")}


def as_answers(choice: str) -> dict[str, Any]:
    """A choice as a job's answers carry it: a place, and the amendments whole, or None for none.

    raises  BadAnswer for what cannot be chosen
    """
    if choice in served(current_organisation().settings):
        return {"place": choice, "amendments": None}
    chosen = _own().get(choice)
    if chosen is None:
        raise BadAnswer("place", "one of the list")
    return {"place": chosen.stored["base"], "amendments": dict(chosen.stored)}


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
        return _page(job, {"codes": say("{label}: choose one", label=say("Adopted codes"))}), 422
    try:
        changes = as_answers(sent[0])
    except BadAnswer as bad:
        return _page(job, {"codes": _wanted(bad)}), 422
    _, clashes = kept(
        job, {name: given for name, given in changes.items() if job.answers.get(name) != given}, revision
    )
    if clashes:
        says = say("Another device has changed the codes meanwhile: choose again")
        return _page(draft_of(job_id), {"codes": says}), 422
    return redirect(url_for("jobs.section", job_id=job.id, section="job"))


def _wanted(bad: BadAnswer) -> str:
    label, wanted = say(CATALOGUE["place"].label), told("common", bad.expected)
    return say("{label}: expected {wanted}", label=label, wanted=wanted)


def _page(job: archive.Job, errors: dict[str, str]) -> str:
    held = standing(job.answers)
    name = (job.answers.get("amendments") or {}).get("name")
    chosen, offered = OWN + name if name else job.answers.get("place", ""), choices()
    return render_template(
        "job/codes.html", job=job, held=held, choices=offered, errors=errors,
        # What is withdrawn is in the list no more: another must not stand there as if it were chosen.
        chosen=chosen if chosen in offered else "",
    )  # fmt: skip
