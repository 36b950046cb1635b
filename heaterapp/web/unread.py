"""What a job holds that this version cannot read, and what a page says of it."""

from __future__ import annotations

from dataclasses import replace
from typing import Any

from flask import g

from heaterapp import archive, rules
from heaterapp.forms import asks
from heaterapp.rules import CATALOGUE

FIRST_PLACE = "model_upc_2021"
MOST_REMEMBERED = 10_000

_NO_PLACE = "No place is chosen, so it is not known which codes apply: choose it in the section Job."

_read_whole: set[tuple[str, int]] = set()


def as_read(job: archive.Job) -> archive.Job:
    """The job with the answers that this version reads; the others stay stored, and `not_read` has them."""
    known = (job.id, job.revision)
    g.not_read = {}
    if known in _read_whole:
        return job
    kept, refused = rules.readable(job.answers)
    if refused:
        g.not_read = {name: (job.answers[name], expected) for name, expected in refused.items()}
        return replace(job, answers=kept)
    if len(_read_whole) >= MOST_REMEMBERED:
        _read_whole.clear()
    _read_whole.add(known)
    return job


def not_read() -> dict[str, tuple[Any, str]]:
    """Key -> what is stored, and what this version expected, for the job of this request."""
    return dict(g.get("not_read", {}))


def notices(job: archive.Job, section: str = "") -> list[str]:
    """What stands above a page of this job: answers it cannot show in a field, a place not chosen."""
    said = [_kept(name, held) for name, (held, _) in not_read().items() if not _in_a_field(name, section)]
    if not job.answers.get("place"):
        title = rules.place(FIRST_PLACE).title
        said.append(f"{_NO_PLACE} Until then this shows {title}.")
    return said


def _in_a_field(name: str, section: str) -> bool:
    return name in CATALOGUE and asks(CATALOGUE[name]) and CATALOGUE[name].section == section


def _kept(name: str, held: Any) -> str:
    question = CATALOGUE.get(name)
    label = question.label if question else name.replace("_", " ")
    shown = held if isinstance(held, str) else rules.canonical_bytes(held).decode("utf-8")
    said = f"Kept, but not read by this version: {label}: {shown[:200]}"
    if question is None or not asks(question):
        return f"{said}."
    return f"{said}; answer it again in the section {rules.SECTIONS[question.section]}."
