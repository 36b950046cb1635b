"""A job that a phone saved to a file: the way out of a phone that cannot send. Taken whole or not at all."""

from __future__ import annotations

import base64
import binascii
import hashlib
from collections.abc import Mapping
from dataclasses import dataclass
from typing import Any

from heaterapp import archive, photo
from heaterapp.archive.arriving import MOST_PHOTOS
from heaterapp.archive.shapes import Job, Person
from heaterapp.web import strict_json
from heaterapp.web.acceptance import accept, canonical, issued_already
from heaterapp.web.going_along import of_earlier_papers
from heaterapp.web.parcel import FORM, Parcel, read_parcel
from heaterapp.web.refused import Refused
from heaterapp.web.security import store
from heaterapp.web.side_by_side import clashes
from heaterapp.web.unread import as_read

LARGEST_FILE = 40_000_000


@dataclass(frozen=True)
class JobFile:
    """A saved job, whole. `parcel` where it was signed."""

    draft: Mapping[str, Any]
    id: str
    parcel: Parcel | None
    photos: Mapping[str, bytes]
    """SHA-256 to the bytes as the phone took them."""


def read_job_file(body: bytes) -> JobFile:
    """Take a saved job apart and look at every part of it.

    raises  Refused, code bad_file, naming what is wrong
    """
    if len(body) > LARGEST_FILE:
        raise _bad("it is larger than 40 MB, which no saved job is")
    try:
        said = strict_json.read(body, fractions=True)
    except strict_json.NotJson:
        raise _bad("it is cut off, or no saved job") from None
    if not isinstance(said, dict) or said.get("heaterapp_job_file") != 1:
        raise _bad("it is no saved job")
    draft = said.get("draft")
    if not isinstance(draft, dict) or not isinstance(draft.get("id"), str):
        raise _bad("the job in it is missing")
    answers = draft.get("answers")
    if not isinstance(answers, dict) or not all(0 < len(name) <= 100 for name in answers):
        raise _bad("the answers in it are missing")
    if draft.get("form") != FORM:
        raise _bad("it was saved by another version of the page. Open it on a phone that has renewed itself")
    return JobFile(draft, draft["id"], _parcel_of(draft), _photos_of(said.get("photos")))


def _bad(what: str) -> Refused:
    return Refused(422, "bad_file", f"Nothing was taken from this file: {what}.")


def _parcel_of(draft: Mapping[str, Any]) -> Parcel | None:
    text = draft.get("parcel")
    if text is None:
        return None
    body = text.encode("utf-8") if isinstance(text, str) else b""
    if hashlib.sha256(body).hexdigest() != draft.get("parcel_sha256"):
        raise _bad("the signed job in it is damaged")
    return read_parcel(body, draft["id"])


def _photos_of(listed: Any) -> dict[str, bytes]:
    if not isinstance(listed, list) or len(listed) > MOST_PHOTOS:
        raise _bad("the photos in it are missing, or too many")
    found: dict[str, bytes] = {}
    for number, one in enumerate(listed, 1):
        kind = str(one.get("kind", ""))[:40].replace("_", " ") if isinstance(one, dict) else ""
        name = f"photo {number} ({kind})" if kind else f"photo {number}"
        try:
            held = base64.b64decode(one["base64"], validate=True)
            sha256 = one["sha256"]
        except (TypeError, KeyError, ValueError, binascii.Error):
            raise _bad(f"{name} is damaged") from None
        if hashlib.sha256(held).hexdigest() != sha256:
            raise _bad(f"{name} is damaged")
        found[sha256] = held
    return found


def take_signed(person: Person, file: JobFile, parcel: Parcel) -> dict[str, Any]:
    """Issue a signed job from its file as if the phone had sent it; returns what the phone would be told.

    raises  Refused
    """
    sent = {one["sha256"]: one["kind"].replace("_", " ") for one in parcel.photos}
    known = store().arrivals.by_draft(person.organisation, parcel.draft) is not None
    held = store().uploads.held(person.organisation, sent) | (set(sent) if known else set())
    held |= set(of_earlier_papers(person.organisation, parcel.job, set(sent) - held))
    made = {}
    for sha256, kind in sent.items():
        if sha256 in held:
            continue
        if sha256 not in file.photos:
            raise _bad(f"the photo of the {kind} is not in it")
        try:
            made[sha256] = photo.tidied(file.photos[sha256])
        except photo.NotAPhoto as none:
            raise _bad(f"the photo of the {kind} cannot be used ({none})") from None
    for sha256, one in made.items():
        store().uploads.hold(person.organisation, person.id, sha256, one.body, one.width, one.height)
    return accept(person, parcel)


def take_draft(person: Person, file: JobFile) -> Job:
    """Make or go on with the draft at the office that a saved job belongs to, unsigned; harmless to repeat.

    person  whose job it is to be
    raises  Refused, with the clashes where the office has other answers; then nothing was changed
    """
    jobs, job_id = store().jobs, str(file.draft.get("job") or file.id)
    answers = {name: value for name, value in file.draft["answers"].items() if value not in (None, "")}
    try:
        job = jobs.get(person.organisation, job_id)
    except archive.NotFound:
        try:
            first = {**answers, **canonical(answers)}
            return jobs.create(person.organisation, person.id, first, job_id)
        except archive.Invalid as bad:
            raise _bad(f"the job in it: {bad}") from None
    if job.state == "issued":
        raise issued_already(job)
    base = file.draft.get("base")
    began = base.get("answers") if isinstance(base, dict) else None
    here, sent = canonical(as_read(job).answers), canonical(answers)
    there = clashes(here, canonical(began) if isinstance(began, dict) else {}, sent)
    if there:
        says = "The office has other answers to this job. Nothing was changed."
        raise Refused(409, "clashes", says, clashes=there)
    jobs.save_answers(person.organisation, job.id, {**dict.fromkeys(here), **sent}, job.revision)
    return jobs.get(person.organisation, job.id)
