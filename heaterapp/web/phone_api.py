"""What the phone asks of the server, as JSON: who is signed in, jobs to take along, photos, signed jobs.

Every answer that is no success is {"error": a sentence for the person, "code": a word for the script}
with what belongs to it; see `refused` and `errors`.
"""

from __future__ import annotations

import hashlib
from collections.abc import Mapping
from typing import Any

from flask import Blueprint, jsonify, request
from flask_wtf.csrf import generate_csrf

from heaterapp import archive, rules
from heaterapp.archive.arriving import LARGEST_PARCEL, MOST_PHOTOS
from heaterapp.archive.database import stamp
from heaterapp.filling.models import NAMED_BY, OF_A_MODEL, plate_of
from heaterapp.filling.signed import RECEIPT
from heaterapp.firm_days import zone_of
from heaterapp.languages import LANGUAGES, say
from heaterapp.web import strict_json
from heaterapp.web.acceptance import accept, canonical
from heaterapp.web.chosen_codes import as_answers, choices
from heaterapp.web.going_along import of_earlier_papers
from heaterapp.web.going_along import told as going_along
from heaterapp.web.held_photos import LARGEST_UPLOAD, held_photo
from heaterapp.web.inspected import inspected, open_again, told_of
from heaterapp.web.jobs import listed_row
from heaterapp.web.language import kept_choice
from heaterapp.web.one_job import open_job
from heaterapp.web.own_presets import own_presets
from heaterapp.web.parcel import SHA256, read_parcel
from heaterapp.web.refused import Refused
from heaterapp.web.security import current_organisation, current_person, require, store

blueprint = Blueprint("phone_api", __name__, url_prefix="/phone/api")
LARGEST = {"phone_api.hold": LARGEST_UPLOAD, "phone_api.take": LARGEST_PARCEL}
MOST_JOBS, MOST_MODELS, JOBS_LOOKED_AT = 100, 40, 500


@blueprint.url_value_preprocessor
def _own_limit(endpoint: str | None, values: Mapping[str, Any] | None) -> None:
    # Before anything reads the body: a photo may be larger than a form.
    if endpoint in LARGEST:
        request.max_content_length = LARGEST[endpoint]


@blueprint.app_errorhandler(Refused)
def refused(error: Refused) -> Any:
    """Say why something was not taken."""
    headers = {"Cache-Control": "no-store"} | ({"Retry-After": "10"} if error.status in (429, 503) else {})
    return error.as_json(), error.status, headers


@blueprint.get("/account")
@require("installer", "owner")
def account() -> Any:
    """Tell who is signed in, for which firm, its codes and presets, and a fresh proof for what is sent."""
    person, firm = current_person(), current_organisation()
    return {
        "csrf": generate_csrf(),
        "person": {name: getattr(person, name) for name in ("id", "name", "role", "licence")},
        "firm": {
            **{name: getattr(firm, name) for name in ("id", "name", "licence", "phone")},
            "time_zone": zone_of(firm.settings).key if firm.settings.get("time_zone") else "",
        },
        "codes": [
            {"key": key, "title": title, "answers": {k: v for k, v in as_answers(key).items() if v}}
            for key, title in choices().items()
        ],
        "default_code": rules.place_names().get(str(firm.settings.get("place")), ""),
        "presets": own_presets(),
        "receipt": RECEIPT,
        "now": stamp(store().database.moment()),
    }


@blueprint.get("/jobs")
@require("installer", "owner")
def jobs() -> Any:
    """List this person's drafts that are kept here, newest change first."""
    person = current_person()
    found = store().jobs.jobs_for(person.organisation, person.id, state="draft", limit=MOST_JOBS)
    rows = [{**listed_row(job, []), "revision": job.revision} for job in found]
    return {"jobs": [{k: row[k] for k in ("id", "address", "heater", "changed", "revision")} for row in rows]}


@blueprint.get("/jobs/<job_id>")
@require("installer", "owner")
def job(job_id: str) -> Any:
    """Give one job to take along."""
    found = open_job(job_id)
    answers = canonical(found.answers)
    told = {"id": found.id, "answers": answers, "revision": found.revision, "state": found.state}
    at = stamp(store().database.moment())
    return told | {"inspected": told_of(inspected(found), at), "photos": going_along(found)}


@blueprint.post("/jobs/<job_id>/again")
@require("installer", "owner")
def again(job_id: str) -> Any:
    """Open an issued job for a second visit and give it to take along; its next paper replaces the last."""
    open_again(open_job(job_id))
    return job(job_id)


@blueprint.get("/models")
@require("installer", "owner")
def models() -> Any:
    """Give what stood on the plates of the firm's last jobs, newest first, each model once."""
    person, seen = current_person(), {}
    for one in store().jobs.all(person.organisation, limit=JOBS_LOOKED_AT):
        plate = plate_of(canonical({k: one.answers[k] for k in NAMED_BY + OF_A_MODEL if k in one.answers}))
        model = tuple(plate.get(name, "").casefold() for name in NAMED_BY)
        if plate and len(seen) < MOST_MODELS:
            seen.setdefault(model, plate)
    return {"models": list(seen.values())}


@blueprint.post("/language")
@require("installer", "owner")
def language() -> Any:
    """Keep the language that was chosen on the phone.

    takes  {"language": one of those that pages are told in}
    """
    try:
        sent = strict_json.read(request.get_data())
    except strict_json.NotJson:
        sent = None
    chosen = sent.get("language") if isinstance(sent, dict) else None
    if chosen not in tuple(LANGUAGES):
        raise Refused(422, "fields", say("Language: expected one of {codes}.", codes=", ".join(LANGUAGES)))
    return kept_choice(jsonify(language=chosen), chosen)


@blueprint.post("/photos/wanted")
@require("installer", "owner")
def wanted() -> Any:
    """Say which of these photos are not here yet; none of a draft that was issued already.

    takes  {"sha256": [...], "draft": the draft's id, "job": the id of one taken from here; or left out}
    """
    try:
        sent = strict_json.read(request.get_data())
    except strict_json.NotJson:
        sent = None
    listed = sent.get("sha256") if isinstance(sent, dict) else None
    fits = isinstance(listed, list) and len(listed) <= MOST_PHOTOS
    if not fits or not all(isinstance(one, str) and SHA256.fullmatch(one) for one in listed):
        raise Refused(
            422, "bad_parcel", say("Expected at most {count} photos by their SHA-256.", count=MOST_PHOTOS)
        )
    organisation, draft = current_person().organisation, sent.get("draft")
    if isinstance(draft, str) and store().arrivals.by_draft(organisation, draft) is not None:
        return {"missing": []}
    held = store().uploads.held(organisation, listed)
    missing = [one for one in dict.fromkeys(listed) if one not in held]
    job = sent.get("job")
    kept = of_earlier_papers(organisation, job, missing) if _is_theirs(job) else {}
    return {"missing": [one for one in missing if one not in kept]}


def _is_theirs(job_id: Any) -> bool:
    """Whether this is a job that this person may have."""
    person = current_person()
    try:
        job = store().jobs.get(person.organisation, job_id) if isinstance(job_id, str) else None
    except archive.ArchiveError:
        return False
    return job is not None and (person.role == "owner" or job.installer == person.id)


@blueprint.put("/photos/<sha256>")
@require("installer", "owner")
def hold(sha256: str) -> Any:
    """Take one photo, made anew here, and hold it until its job comes."""
    person = current_person()
    if not SHA256.fullmatch(sha256):
        raise Refused(404, "not_found", say("A photo is named by its SHA-256."))
    body = request.get_data()
    if hashlib.sha256(body).hexdigest() != sha256:
        raise Refused(422, "damaged", say("The photo did not arrive whole. It is sent again by itself."))
    width, height = held_photo(person, sha256, body)
    return {"sha256": sha256, "width": width, "height": height}


@blueprint.put("/parcels/<draft>")
@require("installer", "owner")
def take(draft: str) -> Any:
    """Take a signed job and issue it; the same one again gets the same answer."""
    return accept(current_person(), read_parcel(request.get_data(), draft))
