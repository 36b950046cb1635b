"""A parcel becomes a paper: held against what stands here, judged again, issued once and answered alike."""

from __future__ import annotations

import hashlib
import json
from collections.abc import Mapping
from dataclasses import replace
from typing import Any

from flask import current_app, url_for

from heaterapp import archive, rules
from heaterapp.archive.shapes import Job, Person, Photo
from heaterapp.filling.signed import NotIssuable, answers_digest, lacking
from heaterapp.issue import submission
from heaterapp.languages import say
from heaterapp.replacing import former_of
from heaterapp.rules import BadAnswer
from heaterapp.rules.postal import badly_written
from heaterapp.web.days import latest_today
from heaterapp.web.going_along import of_earlier_papers
from heaterapp.web.parcel import Parcel
from heaterapp.web.received import check_signed
from heaterapp.web.refused import Refused
from heaterapp.web.security import store
from heaterapp.web.settings import public_address
from heaterapp.web.side_by_side import clashes
from heaterapp.web.unmade import made, numbered
from heaterapp.web.unread import as_read

TRIES = 5
QUESTION_OF = {"date": "work_date", "year": "install_year"}
JUDGED_OTHERWISE = (
    "By the rules that hold here this job ends in another paper than the one that was signed:"
    " {here}. Open it on the phone, look at it once more, and sign again."
)
OUTCOMES = {
    "certificate": "a certificate",
    "correction_list": "a correction list",
    "findings_report": "a findings report",
    None: "something is still to answer",
}
NOT_YOURS = "This job is {other}'s, and {name} is signed in. {other} must sign in to send it."
NOT_YOURS_HERE = "This job is somebody else's here, and {name} is signed in. Ask the office whose."
ERASED = (
    "This job was issued as {number}, and its content was erased for privacy since."
    " Remove it from this phone."
)
OTHER_CONTENT = "This job was issued as {number} with other content. What is on this phone was not issued."
ISSUED_ALREADY = (
    "This job was issued already, as {number}. What is on this phone was not issued:"
    " press 'Keep as a second visit' to go on from it and sign again."
)


def accept(person: Person, parcel: Parcel) -> dict[str, Any]:
    """Issue what was signed on a phone, or give the first answer again.

    person  whose job it is and who issues it
    raises  Refused, with the code that the phone acts on
    """
    check_person(person, parcel.person)
    for _ in range(TRIES):
        first = _first_answer(person, parcel)
        if first is not None:
            return first
        try:
            wish = _wish(person, parcel)
            issued = numbered(wish)
        except (archive.JobChanged, archive.JobIssued, archive.KeyConflict):
            # Somebody was at it in the same moment: looked at anew, it has its own answer.
            continue
        if wish.arrival.differs:
            _log_difference(parcel, issued.number, wish.arrival.differs)
        if not issued.finished:
            raise _without_paper()
        return _answer(store().arrivals.by_draft(person.organisation, parcel.draft), repeated=issued.repeated)
    raise Refused(
        503, "busy", say("This job is being changed from somewhere else. It is tried again by itself.")
    )


def check_person(person: Person, signed_by: int | None) -> None:
    """Refuse a parcel that somebody else made."""
    if signed_by in (None, person.id):
        return
    try:
        other = store().people.get(person.organisation, signed_by).name
    except archive.NotFound:
        other = say("somebody of another firm")
    says = say(NOT_YOURS, other=other, name=person.name)
    raise Refused(403, "not_yours", says, whose=other, signed_in=person.name)


def _first_answer(person: Person, parcel: Parcel) -> dict[str, Any] | None:
    known = store().arrivals.by_draft(person.organisation, parcel.draft)
    if known is None:
        return None
    if known.content_sha256 != parcel.sha256:
        says = say(OTHER_CONTENT if known.content_sha256 else ERASED, number=known.number)
        raise Refused(409, "other_content", says, number=known.number)
    if not made(known.record, in_turn=True):
        raise _without_paper()
    uploads, sent = store().uploads, [one["sha256"] for one in parcel.photos]
    if uploads.held(person.organisation, sent):
        uploads.let_go(person.organisation, sent)
    return _answer(known, repeated=True)


def _without_paper() -> Refused:
    """The answer of a job that is kept and numbered, while its papers cannot be made: asked again later."""
    says = say("This job is kept here. Its paper could not be made yet; it is tried again by itself.")
    return Refused(503, "busy", says)


def _answer(known: Any, repeated: bool) -> dict[str, Any]:
    return {
        "number": known.number,
        "kind": known.kind,
        "record": known.record,
        "content_sha256": known.content_sha256,
        "report_sha256": known.report_sha256,
        "same_report": "report" not in json.loads(known.differs or "{}"),
        "repeated": repeated,
        "link": url_for("signing.issued", job_id=known.job_id),
    }


def _wish(person: Person, parcel: Parcel) -> archive.Submission:
    answers = _readable(parcel.answers)
    check_signed(parcel.signatures, parcel.kind, answers_digest(answers))
    job = _job_here(person, parcel)
    here = canonical(as_read(job).answers) if job else {}
    odd = badly_written(answers)
    _refuse({name: odd[name] for name in odd if answers[name] != here.get(name)})
    there = clashes(here, canonical(parcel.began), answers)
    if job and there:
        raise Refused(
            409, "clashes",
            say("Answers of this job were changed elsewhere meanwhile. Choose which ones hold."),
            clashes=there, there_answers=here, revision=job.revision,
        )  # fmt: skip
    photos = _photos(person.organisation, parcel, job)
    revision = job.revision if job else 0
    arrived = _as_job(person, parcel, answers, revision)
    try:
        former = former_of(store(), person.organisation, parcel.draft)
        wish = submission(
            person, arrived, parcel.draft, check_address=public_address("/check"), former=former
        )
    except NotIssuable:
        raise _otherwise(None) from None
    if wish.kind != parcel.kind:
        raise _otherwise(wish.kind)
    lacking_now = lacking(arrived.answers, wish.kind, latest_today())
    lacks = {QUESTION_OF.get(name, name): says for name, says in lacking_now.items()}
    if lacks:
        raise Refused(422, "fields", " ".join(lacks.values()), fields=lacks)
    changes = {**dict.fromkeys(here), **answers}
    differs = _differs(parcel, wish)
    arrival = archive.Arrival(changes, arrived.signature or {}, revision, differs)
    return replace(wish, photos=photos, parcel=parcel.body, arrival=arrival, job_revision=None)


def _readable(given: Mapping[str, Any]) -> dict[str, Any]:
    try:
        kept, refused = rules.readable(given)
    except BadAnswer as bad:
        kept, refused = {}, {bad.key: bad.said}
    if not refused and not kept.get("place"):
        refused = {"place": "the codes that apply"}
    _refuse(refused)
    return rules.Job(kept).canonical()


def _refuse(refused: Mapping[str, str]) -> None:
    if refused:
        known = rules.CATALOGUE
        labels = ", ".join(say(known[n].label) if n in known else n.replace("_", " ") for n in refused)
        says = say("Not read here: {labels}. Mend it on the phone and sign again.", labels=labels)
        raise Refused(422, "fields", says, fields=dict(refused))


def canonical(answers: Mapping[str, Any]) -> dict[str, Any]:
    """The answers in the one form in which they are compared; what this version cannot read is left out."""
    try:
        return rules.Job(rules.readable(answers)[0]).canonical()
    except BadAnswer:
        return {}


def _job_here(person: Person, parcel: Parcel) -> Job | None:
    try:
        job = store().jobs.get(person.organisation, parcel.job)
    except archive.NotFound:
        return None
    if person.role == "installer" and job.installer != person.id:
        says = say(NOT_YOURS_HERE, name=person.name)
        raise Refused(403, "not_yours", says, signed_in=person.name)
    if job.state == "issued":
        raise issued_already(job)
    return job


def issued_already(job: Job) -> Refused:
    """The refusal of a job that another draft has issued."""
    numbers = [one.number for one in store().records.of_job(job.organisation, job.id) if one.finished]
    number = numbers[0] if numbers else say("a paper that is just being made")
    return Refused(409, "issued_already", say(ISSUED_ALREADY, number=number), number=number)


def _as_job(person: Person, parcel: Parcel, answers: dict[str, Any], revision: int) -> Job:
    return Job(
        id=parcel.job,
        organisation=person.organisation,
        installer=person.id,
        answers=answers,
        signature={"signatures": parcel.signatures},
        signature_revision=revision,
        state="draft",
        revision=revision,
        created_at="",
        updated_at="",
    )


def _photos(organisation: int, parcel: Parcel, job: Job | None) -> tuple[Photo, ...]:
    sent = [one["sha256"] for one in parcel.photos]
    held = store().uploads.photos(organisation, sent)
    missing = [sha256 for sha256 in sent if sha256 not in held]
    if job is not None:
        # What an earlier paper of the job keeps went along with the job, not with the phone's photos.
        held |= of_earlier_papers(organisation, job.id, missing)
        missing = [sha256 for sha256 in missing if sha256 not in held]
    if missing:
        says = say(
            "Photos not here yet: {missing} of {count}. They are sent first.",
            missing=len(missing), count=len(sent),
        )  # fmt: skip
        raise Refused(422, "photos_missing", says, missing=missing)
    now = store().database.now()
    return tuple(
        replace(
            held[one["sha256"]], **{n: one[n] for n in ("kind", "note", "chosen")},
            # As on line: a camera whose clock runs ahead says nothing about when.
            taken_at=one["taken_at"] if one["taken_at"] <= now else "",
        )
        for one in parcel.photos
    )  # fmt: skip


def _otherwise(kind: str | None) -> Refused:
    return Refused(422, "judged_otherwise", say(JUDGED_OTHERWISE, here=say(OUTCOMES[kind])), kind=kind)


def _differs(parcel: Parcel, wish: archive.Submission) -> str:
    """In what the phone judged otherwise, as JSON; empty where it did not, or judged nothing itself."""
    differs: dict[str, Any] = {}
    own = hashlib.sha256(wish.report).hexdigest()
    if parcel.report_sha256 not in (None, own):
        differs["report"] = {"phone": parcel.report_sha256, "here": own}
    here = {"version": wish.ruleset_version, "digest": wish.ruleset_digest}
    if parcel.ruleset is not None and parcel.ruleset["digest"] != here["digest"]:
        differs["ruleset"] = {"phone": dict(parcel.ruleset), "here": here}
    return json.dumps(differs, sort_keys=True) if differs else ""


def _log_difference(parcel: Parcel, number: str, differs: str) -> None:
    line = {"event": "phone_judged_otherwise", "draft": parcel.draft, "number": number, **json.loads(differs)}
    current_app.logger.warning(json.dumps(line, sort_keys=True))
