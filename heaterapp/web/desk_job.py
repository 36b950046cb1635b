"""One job at the desk: its facts, who does it, its permit, what a permit portal asks."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import replace
from typing import Any

from flask import Blueprint, redirect, render_template, request, url_for

from heaterapp import archive
from heaterapp.archive.desk_shapes import DeskConflict, DeskJob
from heaterapp.filling.together import kept_apart
from heaterapp.rules import CATALOGUE
from heaterapp.sheet.words import unit_named
from heaterapp.web.chosen_codes import choices as codes
from heaterapp.web.days import day_there, days_until, today
from heaterapp.web.desk import conflict_words, everybody, read_installer, workers
from heaterapp.web.desk_changes import lines_of
from heaterapp.web.desk_fields import (
    FIELDS,
    GROUPS,
    PERMIT,
    Field,
    Read,
    as_text,
    in_words,
    like_a_gate_code,
    read_form,
    seen_from,
    seen_text,
)
from heaterapp.web.desk_words import RESULTS, STATES, next_step, odd_days, permit_days, undated
from heaterapp.web.opened_again import changed, standing
from heaterapp.web.security import current_person, require, store

blueprint = Blueprint("desk_job", __name__, url_prefix="/office/desk")
BOTH = ("office", "owner")
SAID = {
    "opened": "The job is open. Its installer finds it under Take along.",
    "unassigned": "The job is open. Nobody is assigned, so no phone lists it: assign an installer.",
    "ungiven": "Assigned to nobody: no phone lists it under Take along.",
    "saved": "Saved.",
    "given": "Assigned.",
    "again": "The job is open again. Its next paper stands in place of the void one.",
    "taken_back": "Taken back. The paper stands as before.",
    "permit": "The permit is saved.",
    "extended": "The permit's new end is saved.",
}
NOT_TAKEN_BACK = "Papers: not taken back. The job is open no more, or an answer was changed since it was."
PERMIT_FIELDS = {one.name: one for one in PERMIT}


@blueprint.get("/<job_id>")
@require(*BOTH)
def page(job_id: str) -> Any:
    """Show a job with all that the office knows of it."""
    return job_page(opened(job_id))


@blueprint.get("/<job_id>/facts")
@require(*BOTH)
def facts(job_id: str) -> Any:
    """Ask the facts of a job."""
    job = opened(job_id)
    shown = _shown(job, FIELDS)
    return _facts_page(job, Read(shown), shown, _revisions(job))


@blueprint.post("/<job_id>/facts")
@require(*BOTH)
def save(job_id: str) -> Any:
    """Save what was changed of the facts; what somebody else changed meanwhile is told and kept."""
    job, person = opened(job_id), current_person()
    fields = _fields_of(job)
    seen = seen_from(request.form.get("seen"))
    read = read_form(request.form, fields, seen)
    read.errors |= unfit(job, read.answers) | _too_late(fields, seen)
    if read.errors:
        return _facts_page(job, read, seen, sent_revisions(job)), 422
    revision, job_revision = sent_revisions(job)
    usual = job.job.answers.get("accepted_as_usual")
    if isinstance(usual, list) and not read.answers.keys().isdisjoint(usual):
        # What is typed now is accepted as usual no more.
        read.answers["accepted_as_usual"] = [one for one in usual if one not in read.answers] or None
    try:
        store().desk.save(
            person.organisation, person.id, job.job.id, facts=read.facts, answers=read.answers,
            revision=revision, job_revision=job_revision,
        )  # fmt: skip
    except DeskConflict as conflict:
        now = opened(job_id)
        stands = _shown(now, FIELDS)
        read.typed = still_typed(read, seen, stands)
        read.errors |= conflict_words(conflict.clashes)
        return _facts_page(now, read, stands, _revisions(now)), 409
    return redirect(url_for(".page", job_id=job.job.id, said="saved"), 303)


@blueprint.post("/<job_id>/installer")
@require(*BOTH)
def give(job_id: str) -> Any:
    """Give the job to another installer, or to nobody; no answer is lost."""
    job, person, errors = opened(job_id), current_person(), {}
    chosen = read_installer(request.form.get("installer", ""), errors)
    if request.form.get("was", str(job.job.installer or "")) != str(job.job.installer or ""):
        who = everybody().get(job.job.installer, "nobody") if job.job.installer else "nobody"
        errors["installer"] = f"Installer: meanwhile the job was given to {who}. Choose, and save again"
    if errors:
        return job_page(job, errors), 422
    store().desk.save(
        person.organisation, person.id, job.job.id, installer=chosen, answers=_named_anew(job, chosen)
    )
    return redirect(url_for(".page", job_id=job.job.id, said="given" if chosen else "ungiven"), 303)


@blueprint.post("/<job_id>/open-again")
@require(*BOTH)
def open_again(job_id: str) -> Any:
    """Open a job whose only paper is void, so that a new one can be signed."""
    job, person = opened(job_id), current_person()
    try:
        store().waiting.open_again(person.organisation, person.id, job.job.id)
    except archive.Invalid:
        return job_page(job, {"papers": "Papers: the job's paper is not void, so it holds."}), 409
    return redirect(url_for(".page", job_id=job.job.id, said="again"), 303)


@blueprint.post("/<job_id>/take-back")
@require(*BOTH)
def take_back(job_id: str) -> Any:
    """Undo that a job was opened to be signed anew, where nobody has changed it since."""
    job, person = opened(job_id), current_person()
    try:
        store().corrections.take_back(person.organisation, job.job.id, person.id)
    except archive.Invalid:
        return job_page(opened(job_id), {"papers": NOT_TAKEN_BACK}), 409
    return redirect(url_for(".page", job_id=job.job.id, said="taken_back"), 303)


def opened(job_id: str) -> DeskJob:
    """The job of this id with what the desk holds of it."""
    found: DeskJob = store().desk.get(current_person().organisation, job_id)
    return found


def _fields_of(job: DeskJob) -> dict[str, Field]:
    """The fields that can be changed: an issued job's answers are corrected at its record."""
    return {name: one for name, one in FIELDS.items() if job.job.state == "draft" or not one.answer}


def permit_fields(job: DeskJob) -> dict[str, Field]:
    """The permit's fields: the job's own questions while it is a draft."""
    if job.job.state == "draft":
        return PERMIT_FIELDS
    # Permits are often granted after the paper: then the number is the office's own fact.
    return {name: replace(one, answer=False) for name, one in PERMIT_FIELDS.items()}


def permit_texts(job: DeskJob) -> dict[str, str]:
    """What stands in the permit's fields: the office's own word on an issued job before the job's answer."""
    shown = _shown(job, PERMIT_FIELDS)
    return shown | {name: job.facts[name] for name in ("permit_status", "permit_number") if name in job.facts}


def _shown(job: DeskJob, fields: Mapping[str, Field]) -> dict[str, str]:
    return {name: as_text(one, job.job.answers, job.facts) for name, one in fields.items()}


def still_typed(read: Read, seen: Mapping[str, str], stands: Mapping[str, str]) -> dict[str, str]:
    """What the fields show after a clash: what this person changed, else what stands there now."""
    return {
        name: stands.get(name, "") if text.strip() == seen.get(name, "") else text
        for name, text in read.typed.items()
    }


def unfit(job: DeskJob, answers: dict[str, Any]) -> dict[str, str]:
    """What of new answers cannot stand beside the job's other ones, each with a sentence."""
    _, refused = kept_apart(job.job.answers, answers) if answers else ({}, {})
    return {name: f"{CATALOGUE[name].label}: expected {says}" for name, says in refused.items()}


def _too_late(fields: Mapping[str, Field], seen: Mapping[str, str]) -> dict[str, str]:
    """What was changed of a job's answers in a form whose job has been issued meanwhile."""
    changed = (one for name, one in FIELDS.items() if name not in fields and name in request.form)
    return {
        one.name: f"{one.label}: the paper was issued meanwhile; this is corrected at its record"
        for one in changed
        if request.form[one.name].strip() != seen.get(one.name, "")
    }


def _named_anew(job: DeskJob, chosen: int | None) -> dict[str, Any]:
    """The installer's name and license in a draft, where they are empty or of the installer before."""
    if job.job.state != "draft" or chosen is None or job.job.answers.get("job_kind") == "existing":
        return {}
    people = {one.id: one for one in store().people.all(job.job.organisation)}
    before, now = people.get(job.job.installer), people[chosen]
    if job.job.answers.get("installer_name") not in (None, "", before.name if before else None):
        return {}
    return {"installer_name": now.name, "installer_licence": now.licence or None}


def _revisions(job: DeskJob) -> tuple[int, int]:
    return job.revision, job.job.revision


def sent_revisions(job: DeskJob) -> tuple[int, int]:
    """The revisions that the form was made of; those before any where it does not say."""
    told = []
    for name, newest in (("revision", job.revision), ("job_revision", job.job.revision)):
        sent = request.form.get(name, "")
        number = int(sent) if sent.isascii() and sent.isdecimal() and len(sent) < 10 else 0
        told.append(number if number <= newest else 0)
    return told[0], told[1]


def address_of(job: DeskJob) -> str:
    """The job's address in one line; empty where there is none yet."""
    named = ("address_street", "address_unit", "address_city")
    parts = [str(job.job.answers.get(name) or "") for name in named]
    parts[1] = unit_named(parts[1])
    return ", ".join(part for part in parts if part)


def _facts_page(job: DeskJob, read: Read, seen: Mapping[str, str], revisions: tuple[int, int]) -> str:
    open_fields = _fields_of(job)
    groups = {title: [one for one in fields if one.name in open_fields] for title, fields in GROUPS.items()}
    return render_template(
        "office/desk_facts.html", job=job, groups={title: found for title, found in groups.items() if found},
        typed=read.typed, errors=read.errors, codes=codes(), seen=seen_text(dict(seen)), revisions=revisions,
        address=address_of(job), opened=request.args.get("open", ""),
    )  # fmt: skip


def job_page(
    job: DeskJob,
    errors: Mapping[str, str] | None = None,
    typed: Mapping[str, str] | None = None,
    seen: Mapping[str, str] | None = None,
) -> str:
    """The job's page; errors, what was typed and what had been seen belong to a form that was not taken."""
    org, on = job.job.organisation, today()
    visits = store().inspections.of_job(org, job.job.id)
    void = bool(store().waiting.only_void(org, [job.job.id]))
    papers = [hit for hit in store().records.of_job(org, job.job.id) if hit.finished]
    listed = papers[0].number if papers and store().waiting.to_fix(org, [job.job.id]) else ""
    held, shown = permit_texts(job), _shown(job, FIELDS)
    if shown["place"]:
        shown["place"] = codes().get(shown["place"], shown["place"])
    told = {
        title: [(one.label, in_words(one.name, text)) for one in fields if (text := shown[one.name])]
        for title, fields in GROUPS.items()
    }
    awaited = store().corrections.opened(org, job.job.id) if job.job.state == "draft" else None
    return render_template(
        "office/desk_job.html", awaited=awaited, stands=standing(job.job),
        office_changed=changed(job.job, awaited) if awaited else [],
        job=job, address=address_of(job), errors=errors or {}, told=told,
        visits=visits, names=everybody(), workers={str(number): name for number, name in workers().items()},
        fields=permit_fields(job), permit={**held, **(typed or {})}, typed=typed or {},
        seen=seen_text(dict(held if seen is None else seen)), revisions=_revisions(job), on=on,
        days=permit_days(job.permit_expires_on, on) if job.permit_expires_on else None,
        left=days_until(job.permit_expires_on, on) if job.permit_expires_on else None,
        next_step=next_step(job, visits, on, held.get("permit_status", ""), void, listed),
        results=RESULTS, void=void, papers=papers, undated=undated(job, held),
        state=STATES["void" if void else "to_fix" if listed else job.job.state],
        gate_code=like_a_gate_code(job.facts.get("access_note", "")),
        odd=odd_days(job, day_there(job.job.created_at), on),
        said=SAID.get(request.args.get("said", "")), lines_of=lines_of,
    )  # fmt: skip
