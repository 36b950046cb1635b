"""What a job holds that this version cannot read, and what a page says of it."""

from __future__ import annotations

from dataclasses import replace
from typing import Any

from flask import g

from heaterapp import archive, rules
from heaterapp.filling import judging
from heaterapp.forms import SectionForm
from heaterapp.web.opened_again import opened_again

MOST_REMEMBERED = 10_000

_read_whole: set[tuple[int, str, int]] = set()


def as_read(job: archive.Job) -> archive.Job:
    """The job with the answers that this version reads; the others stay stored, and `not_read` has them."""
    known = (job.organisation, job.id, job.revision)
    g.not_read, g.stored_usual = {}, job.answers.get("accepted_as_usual")
    if known in _read_whole:
        return job
    kept, refused = rules.readable(job.answers)
    if kept != job.answers:
        g.not_read = {name: (job.answers[name], expected) for name, expected in refused.items()}
        return replace(job, answers=kept)
    if len(_read_whole) >= MOST_REMEMBERED:
        _read_whole.clear()
    _read_whole.add(known)
    return job


def not_read() -> dict[str, tuple[Any, str]]:
    """Key -> what is stored, and what this version expected, for the job of this request."""
    return dict(g.get("not_read", {}))


def stored_usual() -> list[str]:
    """What is stored as accepted as usual, the names that this version does not take included."""
    held = g.get("stored_usual")
    return [name for name in held if isinstance(name, str)] if isinstance(held, list) else []


def shown_again(section: str) -> dict[str, Any]:
    """Question -> what is stored, for the fields of a section whose box can show it."""
    usual = stored_usual()
    return {name: held for name, (held, _) in not_read().items() if judging.in_box(name, section, usual)}


def emptied(form: SectionForm, section: str) -> dict[str, None]:
    """The fields whose box had shown an answer that could not be read, and came back empty."""
    fields = [form[name] for name in shown_again(section)]
    return {f.name: None for f in fields if f.present and not f.process_errors and f.answer is None}


def notices(job: archive.Job, section: str = "") -> list[str]:
    """What stands above a page of this job: answers it cannot show in a field, a place not chosen."""
    unread = {name: held for name, (held, _) in not_read().items()}
    return opened_again(job, section) + judging.notices(job.answers, unread, stored_usual(), section)
