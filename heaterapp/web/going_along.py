"""The photos of the paper that stands of a job: what of them goes along to the next one, or is taken again.

Nothing of the paper before changes: the next one keeps photos of its own.
"""

from __future__ import annotations

import hashlib
from collections.abc import Collection, Mapping
from dataclasses import dataclass, field, replace
from typing import Any

from flask import request
from werkzeug.datastructures import FileStorage

from heaterapp import archive
from heaterapp.archive.shapes import Photo
from heaterapp.filling.photos import label_of
from heaterapp.languages import say, spoken
from heaterapp.web.held_photos import LARGEST_UPLOAD, held_photo
from heaterapp.web.parcel import MOMENT, SHA256
from heaterapp.web.refused import Refused
from heaterapp.web.security import store

PRINTED, KEPT, OUT = "printed", "kept", "out"
WAYS = {
    PRINTED: "Printed on the paper",
    KEPT: "Kept with the record, not printed",
    OUT: "Left out",
}
ABOUT = "Photo {at}, {label}: {why}"
ONE_OF_THE_LIST = "expected one of the list"
OUT_AND_AGAIN = "It is left out, and another picture was chosen for it. Say how that one goes along."
TOO_LARGE = "The picture is larger than {count} MB. Choose a smaller one."
HERE_ALREADY = "That picture is in this job already."
GONE = "The picture taken again is not here any more. Choose it once more."


@dataclass(frozen=True)
class Choice:
    """One photo of the paper before, and what becomes of it."""

    at: int
    """From 1, as the paper before has it."""
    photo: Photo
    label: str
    way: str
    again: Photo | None = None
    """The picture that takes its place."""

    @property
    def file(self) -> str:
        return f"photo-{self.at}.jpg"


@dataclass(frozen=True)
class Along:
    """The photos of one paper, each with what was chosen."""

    number: str = ""
    choices: tuple[Choice, ...] = ()
    errors: Mapping[str, str] = field(default_factory=dict)

    def photos(self) -> tuple[Photo, ...]:
        """What goes along, each picture once: as its paper has it, or the one taken again in its place."""
        along = [
            replace(one.again or one.photo, chosen=one.way == PRINTED)
            for one in self.choices
            if one.way != OUT
        ]
        once: dict[str, Photo] = {}
        for photo in along:
            once.setdefault(photo.sha256, photo)
        return tuple(once.values())

    def let_go(self, organisation: int) -> None:
        """Let go of what was held until a record took it."""
        store().uploads.let_go(organisation, [one.again.sha256 for one in self.choices if one.again])


def offered(job: archive.Job) -> Along:
    """Return the photos of the paper that stands of a job, all going along as they are; else none."""
    paper = standing_paper(job)
    if paper is None:
        return Along()
    choices = (
        Choice(at, one, label_of(one.kind, spoken()), PRINTED if one.chosen else KEPT)
        for at, one in enumerate(paper.photos, 1)
    )
    return Along(paper.number, tuple(choices))


def standing_paper(job: archive.Job) -> archive.Record | None:
    """Return the paper that stands of a job with all its content; None where none stands or it is erased."""
    hit = store().records.present(job.organisation, job.id)
    if hit is None or hit.erased:
        return None
    try:
        return store().records.get(job.organisation, hit.record)
    except archive.Erased:
        return None


def chosen(job: archive.Job, person: archive.Person) -> Along:
    """Return the same with what the form of this request chose; a picture that came with it is held here."""
    along, errors = offered(job), {}
    if request.form.get("photos_of", along.number) != along.number:
        # Chosen of another paper's photos: these were not looked at yet.
        return along
    known = {one.photo.sha256 for one in along.choices}
    choices = []
    for one in along.choices:
        name = f"photo-{one.at}"
        way = request.form.get(name, one.way)
        if way not in WAYS:
            way, errors[name] = one.way, _about(one, say(ONE_OF_THE_LIST))
        try:
            again = _again(one, person, known if way != OUT else set())
        except Refused as refused:
            again, errors[f"{name}-again"] = None, _about(one, refused.says)
        if way == OUT and _came(name):
            errors[name] = _about(one, say(OUT_AND_AGAIN))
        choices.append(replace(one, way=way, again=again))
    return Along(along.number, tuple(choices), errors)


def _again(one: Choice, person: archive.Person, known: set[str]) -> Photo | None:
    """The picture that the form has for this photo, new or held since an earlier try. Raises Refused."""
    file, sent = _came(f"photo-{one.at}"), request.form.get(f"photo-{one.at}-held", "")
    if file is not None:
        sent = _held(file, person, known)
    if not SHA256.fullmatch(sent):
        return None
    if sent in known:
        raise Refused(422, "photos", say(HERE_ALREADY))
    held = store().uploads.photos(person.organisation, [sent]).get(sent)
    if held is None:
        raise Refused(422, "photos_missing", say(GONE))
    known.add(sent)
    at = request.form.get(f"photo-{one.at}-at", "")
    seconds = f"{at[:19]}Z"
    dated = bool(MOMENT.fullmatch(at)) and seconds <= store().database.now()
    return replace(held, kind=one.photo.kind, taken_at=seconds if dated else "")


def _came(name: str) -> FileStorage | None:
    file = request.files.get(f"{name}-again")
    return file if file is not None and file.filename else None


def _held(file: FileStorage, person: archive.Person, known: Collection[str]) -> str:
    body = file.stream.read(LARGEST_UPLOAD + 1)
    if len(body) > LARGEST_UPLOAD:
        raise Refused(413, "too_large", say(TOO_LARGE, count=LARGEST_UPLOAD // 1_000_000))
    sha256 = hashlib.sha256(body).hexdigest()
    if sha256 in known:
        raise Refused(422, "photos", say(HERE_ALREADY))
    held_photo(person, sha256, body)
    return sha256


def _about(one: Choice, why: str) -> str:
    return say(ABOUT, at=one.at, label=one.label, why=why)


def of_earlier_papers(organisation: int, job_id: str, wanted: Collection[str]) -> dict[str, Photo]:
    """Return digest -> photo for those of these digests that any paper of a job keeps, newest paper first."""
    found: dict[str, Photo] = {}
    papers = store().records.of_job(organisation, job_id) if wanted else []
    for hit in papers:
        if hit.erased or len(found) == len(set(wanted)):
            continue
        try:
            kept = store().records.get(organisation, hit.record).photos
        except archive.Erased:
            continue
        found = {one.sha256: one for one in kept if one.sha256 in wanted} | found
    return found


def told(job: archive.Job) -> list[dict[str, Any]]:
    """Return the photos of the paper that stands as a phone lists them, and where each is seen."""
    paper = standing_paper(job)
    names = ("sha256", "kind", "note", "chosen", "taken_at", "width", "height")
    return [
        {name: getattr(one, name) for name in names}
        | {"size": len(one.body), "former": {"number": paper.number, "file": f"photo-{at}.jpg"}}
        for at, one in enumerate(paper.photos if paper else (), 1)
    ]
