"""Papers that are numbered and not made: told on the pages of their job, with another try."""

from __future__ import annotations

from dataclasses import replace
from datetime import datetime, timedelta
from typing import Any, NamedTuple

from flask import Blueprint, current_app, redirect, url_for

from heaterapp import archive
from heaterapp.web.security import current_person, require, store
from heaterapp.web.settings import renderer

blueprint = Blueprint("unmade", __name__, url_prefix="/office/records")
AGAIN = timedelta(minutes=10)
"""So long after a try that failed only a person's press makes another; later a look at its page does too."""


class Told(NamedTuple):
    """What a page tells of one: `stands` says which paper of the job does meanwhile."""

    number: str
    issued_at: str
    stands: str
    failed_at: str
    why: str


@blueprint.post("/<number>/make")
@require("office", "owner")
def make(number: str) -> Any:
    """Make the papers of a numbered record; where that fails again, its job's page says why."""
    hit = store().records.hit(current_person().organisation, number)
    if not made(hit.record):
        return redirect(url_for("desk_job.page", job_id=hit.job_id) + "#not-made", 303)
    return redirect(url_for("office.record", number=hit.number), 303)


def made(record: int, in_turn: bool = False) -> bool:
    """Make the papers of a numbered record; False where that fails, which the log then tells.

    in_turn  behind others who wait for a press, and not at all where too many do
    """
    organisation = current_person().organisation
    try:
        store().finish(organisation, record, renderer(in_turn))
    except archive.ArchiveError:
        raise
    except Exception as broken:  # whatever it was: the office is told, and the number waits on
        if archive.worded(broken) is not None:
            raise
        current_app.logger.error("The papers of record %s cannot be made: %s", record, broken)
        return False
    return True


def numbered(wish: archive.Submission) -> archive.Issued:
    """Give a signed job its number and make its papers; not `finished` where they break: the number waits."""
    answer: archive.Issued = store().issue(wish)
    return answer if answer.finished else replace(answer, finished=made(answer.record))


def looked_at(job_id: str) -> Told | None:
    """Return what is numbered for a job and not made, once this look at it has tried, if it is time.

    One look tries at a time, and none while the last try failed a short while ago.
    """
    organisation = current_person().organisation
    for one in store().unmade(organisation, job_id)[:1]:
        if not one.failed_at or _may_try_at(one.failed_at) <= store().database.now():
            made(one.record, in_turn=True)
    return next(iter(unmade_of(job_id)), None)


def _may_try_at(failed_at: str) -> str:
    return f"{datetime.fromisoformat(failed_at) + AGAIN:%Y-%m-%dT%H:%M:%SZ}"


blueprint.add_app_template_filter(_may_try_at, "tried_again_at")


@blueprint.app_template_global()
def unmade_of(job_id: str) -> list[Told]:
    """Return what is numbered for a job of this firm and has no papers yet."""
    org = current_person().organisation
    waiting = store().unmade(org, job_id)
    present = store().records.present(org, job_id) if waiting else None
    return [
        Told(one.number, one.issued_at, _stands(one, present), one.failed_at, one.why) for one in waiting
    ]


def overdue() -> list[archive.Unmade]:
    """Return what of this firm somebody has to look at: a try failed, or none has come for a while."""
    late = datetime.fromisoformat(store().database.now()) - AGAIN
    found = store().unmade(current_person().organisation)
    return [one for one in found if one.failed_at or datetime.fromisoformat(one.issued_at) < late]


def _stands(one: archive.Unmade, present: archive.Hit | None) -> str:
    if one.superseded_by_number is not None:
        return f"{one.superseded_by_number} was made since, and stands in its place."
    if present is None:
        return "Until they are made, no paper of this job stands."
    return f"Until they are made, {present.number} stands."
