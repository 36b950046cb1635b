"""What an inspector asked of a job that is open again: which inspection it is, and its items in words."""

from __future__ import annotations

from heaterapp import archive
from heaterapp.archive.desk_shapes import OPEN_RESULTS, Inspection, Item
from heaterapp.sheet.findings import topic_and_name
from heaterapp.web.security import current_person, store


def inspected(job: archive.Job) -> Inspection | None:
    """The last inspection of an open job, where it was not passed and asked for something."""
    visit = _not_passed(job) if job.state == "draft" else None
    return visit if visit is not None and visit.items else None


def open_again(job: archive.Job) -> None:
    """Open an issued job for a second visit, as the one after its inspection where that was not passed."""
    visit = _not_passed(job)
    if visit is None:
        store().jobs.reopen(job.organisation, job.id)
    else:
        store().inspections.second_visit(job.organisation, current_person().id, visit.id)


def _not_passed(job: archive.Job) -> Inspection | None:
    visits = store().inspections.of_job(job.organisation, job.id)
    told = (visit for visit in visits if visit.result in (*OPEN_RESULTS, "passed"))
    last = next(told, None)
    return last if last is not None and last.result in OPEN_RESULTS else None


def item_words(item: Item) -> str:
    """An item in words: the check it is about, and what was said of it."""
    about = topic_and_name(item.check) if item.check else ""
    return ": ".join(part for part in (about, item.text) if part)
