"""What an inspector asked of a job that is open again: which inspection it is, and its items in words."""

from __future__ import annotations

from functools import cache
from typing import Any

from heaterapp import archive
from heaterapp.archive.desk_shapes import OPEN_RESULTS, Inspection, Item
from heaterapp.filling.typed import asks
from heaterapp.rules import CATALOGUE
from heaterapp.rules.catalog import all_checks
from heaterapp.sheet.findings import last_question, topic_and_name
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


def told_of(visit: Inspection | None, at: str) -> dict[str, Any] | None:
    """What a phone shows of an inspection: each item in words, and the question that its check ends in.

    at  the moment at which it is told
    """
    if visit is None:
        return None
    items = [
        {"says": item_words(one), "check": one.check, "mended": not one.open, **_asked_at(one.check)}
        for one in visit.items
    ]
    return {"on": visit.result_on, "taken_at": at, "items": items}


def _asked_at(check: str) -> dict[str, str]:
    asked = [name for name in _questions().get(check, ()) if name in CATALOGUE and asks(CATALOGUE[name])]
    last = last_question({"questions": asked})
    return {"question": last, "section": CATALOGUE[last].section} if last else {"question": "", "section": ""}


@cache
def _questions() -> dict[str, tuple[str, ...]]:
    return {check.name: check.questions for check in all_checks()}
