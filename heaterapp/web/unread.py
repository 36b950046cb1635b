"""What a job holds that this version cannot read, and what a page says of it."""

from __future__ import annotations

from dataclasses import replace
from typing import Any

from flask import g

from heaterapp import archive, rules
from heaterapp.forms import SectionForm, asks
from heaterapp.rules import CATALOGUE

FIRST_PLACE = "model_upc_2021"
"""Offered for a new job where the firm has chosen none; without a place it only says what is asked."""
MOST_REMEMBERED = 10_000

NO_PLACE = "No place is chosen, so it is not known which codes apply: choose it in the section Job."

_BOXES = ("number", "text", "two_lengths", "lengths", "sections")

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
    """Question -> what is stored, for the fields of a section whose box can show it.

    What was once accepted as usual stays out of its box: sent back untouched it would pass for measured.
    """
    return {name: held for name, (held, _) in not_read().items() if _in_box(name, section)}


def emptied(form: SectionForm, section: str) -> dict[str, None]:
    """The fields whose box had shown an answer that could not be read, and came back empty."""
    fields = [form[name] for name in shown_again(section)]
    return {f.name: None for f in fields if f.present and not f.process_errors and f.answer is None}


def notices(job: archive.Job, section: str = "") -> list[str]:
    """What stands above a page of this job: answers it cannot show in a field, a place not chosen."""
    said = [_kept(name, held) for name, (held, _) in not_read().items() if not _in_box(name, section)]
    if not job.answers.get("place"):
        said.append(NO_PLACE)
    return said


def lapsed(job: archive.Job, told: dict[str, Any]) -> list[dict[str, Any]]:
    """The acceptances that hold no longer, each with what it was given for and what is found now."""
    now = {f["check"]: f for f in told["findings"] if f["kind"] == "rule"}
    return [
        {"check": check, **given, "now": now.get(check)}
        for check, given in (job.answers.get("acceptances") or {}).items()
        if not now.get(check, {}).get("accepted")
    ]


def without_place(told: dict[str, Any]) -> dict[str, Any]:
    """A report of which no verdict of a place's books is left: every check waits for the place.

    A danger stays one whatever the codes are, so it stays said, without a section.
    """
    findings = [_waiting(finding) for finding in told["findings"]]
    outcome = "fix" if any(f["verdict"] == "fails" for f in findings) else "unfinished"
    return {**told, "place": "", "outcome": outcome, "figures": {}, "findings": findings}


def _waiting(finding: dict[str, Any]) -> dict[str, Any]:
    bare = {key: held for key, held in finding.items() if key != "accepted"}
    bare |= {"limit": None, "book": "", "section": "", "confidence": ""}
    if finding.get("hazard"):
        return bare
    missing = list(dict.fromkeys(["place", *finding.get("missing", ())]))
    return bare | {"verdict": "unanswered", "found": None, "why": NO_PLACE, "fix": "", "missing": missing}


def _in_box(name: str, section: str) -> bool:
    question = CATALOGUE.get(name)
    if question is None or not asks(question) or question.section != section or name in stored_usual():
        return False
    # A choice that is gone has no button, and a day that is none no box: those are shown in words.
    return question.kind in _BOXES


def _kept(name: str, held: Any) -> str:
    question = CATALOGUE.get(name)
    label = question.label if question else name.replace("_", " ")
    shown = held if isinstance(held, str) else rules.canonical_bytes(held).decode("utf-8")
    said = f"Kept, but not read by this version: {label}: {shown[:200]}"
    if question is None or not asks(question):
        return f"{said}."
    return f"{said}; answer it again in the section {rules.SECTIONS[question.section]}."
