"""The office's page of what phones sent: who sent what, what was judged otherwise, a job from a file."""

from __future__ import annotations

import json
from collections.abc import Mapping
from typing import Any, NamedTuple

from flask import Blueprint, current_app, render_template, request, url_for

from heaterapp import archive
from heaterapp.archive.shapes import Person
from heaterapp.photo import DarkroomFailed
from heaterapp.rules import CATALOGUE
from heaterapp.web.job_file import LARGEST_FILE, JobFile, read_job_file, take_draft, take_signed
from heaterapp.web.office import KINDS
from heaterapp.web.one_job import address_of
from heaterapp.web.refused import Refused
from heaterapp.web.security import current_person, require, store

blueprint = Blueprint("sent_from_phones", __name__, url_prefix="/office/phone")
# The file, and the few fields around it.
LARGEST_FORM = LARGEST_FILE + 100_000
NO_DARKROOM = "Photos cannot be looked at just now."
WORKERS = ("installer", "owner")


@blueprint.url_value_preprocessor
def _own_limit(endpoint: str | None, values: Mapping[str, Any] | None) -> None:
    if endpoint == "sent_from_phones.take":
        request.max_content_length = LARGEST_FORM


@blueprint.get("")
@require("office", "owner")
def page() -> Any:
    """Show who sent what last, and what was judged otherwise."""
    return _page()


@blueprint.post("")
@require("office", "owner")
def take() -> Any:
    """Take a job from a file that a phone saved."""
    sent = request.files.get("file")
    try:
        took = take_file(sent.stream.read(LARGEST_FILE + 1) if sent else b"")
    except NotTaken as refused:
        return _page({refused.box: refused.says}, refused.clashes), refused.status
    return _page(said=took.said, link=took.link)


class NotTaken(Exception):
    """A saved job was not taken, and nothing was changed. `box` is the one on the form that it is about."""

    def __init__(self, box: str, says: str, status: int, clashes: Any = None):
        super().__init__(says)
        self.box, self.says, self.status, self.clashes = box, says, status, clashes


class Took(NamedTuple):
    said: str
    link: str


def take_file(body: bytes) -> Took:
    """Take one saved job, as the form around it says: issued where it was signed, else a draft.

    body    what the phone saved; one byte more than the largest file shows a larger one
    raises  NotTaken
    """
    try:
        if not body:
            raise Refused(422, "bad_file", "Choose the file that the phone saved.")
        file = read_job_file(body)
        person = _whose(file)
        if file.parcel is not None and request.form.get("as_draft") != "yes":
            answer = take_signed(person, file, file.parcel)
            again = "was issued before" if answer["repeated"] else "is issued"
            link = url_for("office.record", number=answer["number"])
            return Took(f"The job {again} as {answer['number']}.", link)
        return Took(_drafted(person, take_draft(person, file), file), "")
    except Refused as refused:
        raise NotTaken("file", refused.says, refused.status, refused.more.get("clashes")) from refused
    except archive.NotFound as gone:
        raise NotTaken("installer", str(gone), 422) from gone
    except archive.HeldFull as full:
        raise NotTaken("file", str(full), 503) from full
    except DarkroomFailed as failed:
        current_app.logger.error("no photo could be opened: %s", failed)
        says = f"{NO_DARKROOM} Nothing was taken: choose the file again later."
        raise NotTaken("file", says, 503) from failed


def _drafted(person: Person, job: Any, file: JobFile) -> str:
    said = [f"{address_of(job.answers)} is a draft of {person.name} now."]
    typed = file.draft.get("typed")
    unread = [CATALOGUE[name].label for name in typed if name in CATALOGUE] if isinstance(typed, dict) else []
    if unread:
        said.append(f"Typed but never read, to be answered again: {', '.join(unread)}.")
    if file.photos:
        said.append("Its photos stay in the file: open it on a phone to keep them with the job.")
    return " ".join(said)


def _whose(file: JobFile) -> Person:
    """The person who signed it; else the one chosen, else the one who began it."""
    office, chosen = current_person(), request.form.get("installer", "")
    who = file.draft.get("who")
    began = who.get("id") if isinstance(who, dict) else None
    signed = file.parcel.person if file.parcel else None
    picked = int(chosen) if chosen.isascii() and chosen.isdecimal() and len(chosen) < 10 else began
    wanted = signed or picked
    known = {one.id: one for one in workers(office.organisation)}
    if not isinstance(wanted, int) or wanted not in known:
        raise Refused(422, "fields", "Choose whose job this is: who signed or began it is not known here.")
    return known[wanted]


def workers(organisation: int) -> list[Person]:
    return [one for one in store().people.all(organisation) if one.role in WORKERS and not one.disabled]


def _page(
    errors: Mapping[str, str] | None = None, clashes: Any = None, said: str = "", link: str = ""
) -> str:
    organisation = current_person().organisation
    arrivals, people = store().arrivals, store().people.all(organisation)
    last, names = arrivals.last_of_each(organisation), {one.id: one.name for one in people}
    different = [
        {"arrived": one, "who": names.get(one.person, ""), **json.loads(one.differs)}
        for one in arrivals.different(organisation)
    ]
    return render_template(
        "office/phone.html",
        people=[(one, _seen(one), last.get(one.id)) for one in people if one.role in WORKERS],
        workers=workers(organisation), different=different, kinds=KINDS, errors=errors or {},
        clashes=clashes or {}, said=said, link=link,
    )  # fmt: skip


def _seen(person: Person) -> str:
    sessions = store().sessions.all_for(person.organisation, person.id)
    return max((one.last_seen_at for one in sessions), default="")
