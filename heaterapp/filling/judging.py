"""What a job's answers come to, with a place or without, and what of them this version cannot read."""

from __future__ import annotations

import json
from collections.abc import Collection, Mapping
from typing import Any

from ..languages import say
from ..rules import CATALOGUE, SECTIONS, Job, assess
from .typed import asks

FIRST_PLACE = "model_upc_2021"
"""Offered for a new job where the firm has chosen none; without a place it only says what is asked."""
NO_PLACE = "No place is chosen, so it is not known which codes apply: choose it in the section Job."

AGAIN = (
    "Kept, but not read by this version: {label}: {shown}; answer it again in the section {section}."
)

_BOXES = ("number", "text", "two_lengths", "lengths", "sections")


def judged(answers: Mapping[str, Any], read: Job | None = None) -> dict[str, Any]:
    """The report on these answers, as plain data; without a place nothing is judged, dangers apart.

    read  the answers as read, where they were read already
    """
    if answers.get("place"):
        return assess(Job(answers) if read is None else read).as_json()
    # Amendments lie over one place, and belong to no other.
    asked = without(answers, {"amendments": None})
    return without_place(assess(asked, FIRST_PLACE).as_json())


def without(answers: Mapping[str, Any], unread: Mapping[str, Any]) -> dict[str, Any]:
    """The answers but for those whose field holds something unreadable: no verdict rests on an old one."""
    return {name: answer for name, answer in answers.items() if name not in unread}


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


def lapsed(answers: Mapping[str, Any], told: Mapping[str, Any]) -> list[dict[str, Any]]:
    """The acceptances that hold no longer, each with what it was given for and what is found now."""
    now = {f["check"]: f for f in told["findings"] if f["kind"] == "rule"}
    return [
        {"check": check, **given, "now": now.get(check)}
        for check, given in (answers.get("acceptances") or {}).items()
        if not now.get(check, {}).get("accepted")
    ]


def notices(
    answers: Mapping[str, Any], unread: Mapping[str, Any], usual: Collection[str], section: str = ""
) -> list[str]:
    """What stands above a page of a job: answers it cannot show in a field, a place not chosen.

    answers  the answers that this version reads
    unread   key -> what is stored, for those that it does not
    usual    the names stored as accepted as usual
    section  the one whose fields are on the page
    """
    said = [_kept(name, held) for name, held in unread.items() if not in_box(name, section, usual)]
    if not answers.get("place"):
        said.append(say(NO_PLACE))
    return said


def in_box(name: str, section: str, usual: Collection[str]) -> bool:
    """Whether an answer that cannot be read is shown in its field's own box, to be mended there.

    What was once accepted as usual stays out of its box: sent back untouched it would pass for measured.
    """
    question = CATALOGUE.get(name)
    if question is None or not asks(question) or question.section != section or name in usual:
        return False
    # A choice that is gone has no button, and a day that is none no box: those are shown in words.
    return question.kind in _BOXES


def _kept(name: str, held: Any) -> str:
    question = CATALOGUE.get(name)
    label = say(question.label) if question else name.replace("_", " ")
    shown = held if isinstance(held, str) else json.dumps(held, ensure_ascii=False, sort_keys=True)
    kept = {"label": label, "shown": shown[:200]}
    if question is None or not asks(question):
        return say("Kept, but not read by this version: {label}: {shown}.", **kept)
    return say(AGAIN, **kept, section=say(SECTIONS[question.section]))
