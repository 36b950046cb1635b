"""One job as the pages have it: opened for who may, judged, saved without writing over another device."""

from __future__ import annotations

from collections.abc import Mapping
from typing import Any

from flask import abort

from heaterapp import archive
from heaterapp.filling.typed import shown
from heaterapp.languages import say
from heaterapp.rules import CATALOGUE
from heaterapp.sheet.words import unit_named, unit_shown
from heaterapp.web.recorded import amended_words
from heaterapp.web.security import current_person, store
from heaterapp.web.unread import as_read, stored_usual

OF_ONE_PLACE = ("place", "amendments")


def open_job(job_id: str) -> archive.Job:
    """The job of this id, if this person may have it; any other id is not found."""
    person = current_person()
    job = store().jobs.get(person.organisation, job_id)
    if person.role == "installer" and job.installer != person.id:
        abort(404)
    if job.state == "erased":
        raise archive.Erased(say("This job was erased for privacy. Its numbers stay in the office's log."))
    return as_read(job)


def paper_of_job(job_id: str, number: str) -> archive.Record:
    """The paper of this number, if it is of a job that this person may have; any other is not found."""
    job = open_job(job_id)
    opened = store().records.by_number(job.organisation, number)
    if opened.job_id != job.id:
        abort(404)
    return opened


def draft_of(job_id: str) -> archive.Job:
    """The job of this id, to be changed.

    raises  JobIssued where it is a draft no more
    """
    job = open_job(job_id)
    if job.state == "issued":
        raise archive.JobIssued(say("This job has been issued. Reopen it to correct it."))
    return job


def address_of(answers: Mapping[str, Any]) -> str:
    """The address in one line, or what stands in its place."""
    said = [str(answers.get(k, "")) for k in ("address_street", "address_unit", "address_city")]
    said[1] = unit_named(said[1])
    return ", ".join(s for s in said if s) or say("No address yet")


def kept(
    job: archive.Job, changes: dict[str, Any], revision: int | None
) -> tuple[archive.Job, dict[str, str]]:
    """Save changes; what another device changed meanwhile is left as it is there, and named.

    returns  the job as it stands, and question -> what stands there now
    """
    clashes: dict[str, str] = {}
    amendments = job.answers.get("amendments")
    if amendments and changes.get("place", amendments["base"]) != amendments["base"]:
        changes.setdefault("amendments", None)
    while changes:
        try:
            store().jobs.save_answers(job.organisation, job.id, changes, revision)
            break
        except archive.AnswerConflict as conflict:
            for name, (there, _) in conflict.conflicts.items():
                if name in OF_ONE_PLACE:
                    # A place and the amendments laid over it are saved together, or neither is.
                    clashes["place"] = _codes_in_words(name, there)
                    for part in OF_ONE_PLACE:
                        changes.pop(part, None)
                elif name in CATALOGUE:
                    clashes[name] = in_words(name, there)
                changes.pop(name, None)
    return _unmarked(open_job(job.id), changes), clashes


def _codes_in_words(name: str, there: Any) -> str:
    if name == "place":
        return in_words(name, there)
    return amended_words(there) if there else say("the place without amendments")


def revision_of(job: archive.Job, given: Any) -> int | None:
    """The revision a page was made of, where it is one that this job has had."""
    text = "" if isinstance(given, bool) else str(given)
    number = int(text) if text.isascii() and text.isdecimal() and len(text) < 10 else 0
    return number if 0 < number <= job.revision else None


def in_words(name: str, answer: Any) -> str:
    """An answer as the form would read it out: `60 psi`, `Gas tank`, `36 in and 68 in`."""
    question = CATALOGUE[name]
    held = shown(question, answer)
    if not held:
        return say("no answer")
    if "-said" in held:
        return say(held["-said"].replace("_", " "))
    said = [say(question.choices[text]) if text in question.choices else text for text in held.values()]
    unit = f" {unit_shown(question.unit)}" if unit_shown(question.unit) else ""
    return f" {say('and')} ".join(f"{text}{unit}" for text in said)


def _unmarked(job: archive.Job, changes: Mapping[str, Any]) -> archive.Job:
    """Take what was now given by hand out of what was accepted as usual, as that stands by now.

    Not saved with the changes: the list may have grown on another device, which is no clash.
    """
    left = [name for name in stored_usual() if name not in changes]
    if "accepted_as_usual" in changes or left == stored_usual():
        return job
    store().jobs.save_answers(job.organisation, job.id, {"accepted_as_usual": left or None})
    return open_job(job.id)
