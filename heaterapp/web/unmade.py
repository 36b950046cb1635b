"""Papers that are numbered and not made: told on the pages of their job, with another try."""

from __future__ import annotations

from typing import Any, NamedTuple

from flask import Blueprint, current_app, redirect, url_for

from heaterapp import archive
from heaterapp.web.security import current_person, require, store
from heaterapp.web.settings import renderer

blueprint = Blueprint("unmade", __name__, url_prefix="/office/records")
LONGEST_WHY = 300


class Told(NamedTuple):
    """What a page tells of one: `stands` says which paper of the job does meanwhile."""

    number: str
    issued_at: str
    stands: str
    why: str


@blueprint.post("/<number>/make")
@require("office", "owner")
def make(number: str) -> Any:
    """Make the papers of a numbered record; where that fails again, its job's page says why."""
    org = current_person().organisation
    hit = store().records.hit(org, number)
    try:
        store().finish(org, hit.record, renderer())
    except archive.ArchiveError:
        raise
    except Exception as broken:  # whatever it was: the office is told, and the number waits on
        current_app.logger.error("The papers of %s cannot be made: %s", hit.number, broken)
        return redirect(url_for("desk_job.page", job_id=hit.job_id) + "#not-made", 303)
    return redirect(url_for("office.record", number=hit.number), 303)


@blueprint.app_template_global()
def unmade_of(job_id: str) -> list[Told]:
    """Return what is numbered for a job of this firm and has no papers yet."""
    org = current_person().organisation
    waiting = store().unmade(org, job_id)
    present = store().records.present(org, job_id) if waiting else None
    return [
        Told(one.number, one.issued_at, _stands(one, present), " ".join(one.why.split())[:LONGEST_WHY])
        for one in waiting
    ]


def _stands(one: archive.Unmade, present: archive.Hit | None) -> str:
    if one.superseded_by_number is not None:
        return f"{one.superseded_by_number} was made since, and stands in its place."
    if present is None:
        return "Until they are made, no paper of this job stands."
    return f"Until they are made, {present.number} stands."
