"""What the installer wrote down of a hazard: what it was, what was done about it, who was told and when."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import replace
from typing import Any

from heaterapp.firm_clock import day_words
from heaterapp.sheet.answered import told

from .paper import Check
from .parties import Answers, line
from .saying import joined, own

HAZARD = "heater.no_hazard_left"
NONE = (None, "", "none", "unknown")
TELLING = ("owner_told", "supplier_called")
"""What was done by telling somebody: who and when belong to it."""


def worded(check: Check, finding: Mapping[str, Any], answers: Answers) -> Check:
    """Return the row of a hazard that has no name of its own with the installer's words as what was found."""
    words = told(answers, "hazard_words").rstrip(".")
    unnamed = finding["check"] == HAZARD and answers.get("hazard_found") == "other"
    return replace(check, found=words) if unnamed and words else check


def hazard_said(answers: Answers) -> str:
    """Return what stands on a paper of a hazard that was found; nothing where none was.

    >>> hazard_said({"hazard_found": "scorch", "hazard_action": "owner_told", "hazard_told": "M. Reyes"})
    'Hazard found: Scorching. What was done: Owner told in writing. Told: M. Reyes.'
    >>> hazard_said({"hazard_found": "other", "hazard_words": "Flue joint rusted through"})
    'Hazard found: Flue joint rusted through. What was done is not recorded.'
    >>> hazard_said({"hazard_found": "none"})
    ''
    """
    found = answers.get("hazard_found")
    if found in NONE or isinstance(found, dict):
        return ""
    described = told(answers, "hazard_words").rstrip(".")
    kind = told(answers, "hazard_found") if found != "other" else "" if described else own("not said which")
    done = told(answers, "hazard_action")
    who, when = told(answers, "hazard_told").rstrip("."), day_words(told(answers, "hazard_told_on"))
    parts = [own("Hazard found: {what}.", what=line(kind, described, between=", "))]
    parts.append(own("What was done: {what}.", what=done) if done else own("What was done is not recorded."))
    if who or when:
        parts.append(own("Told: {who}.", who=line(who or own("name not recorded"), when, between=", ")))
    elif answers.get("hazard_action") in TELLING:
        parts.append(own("Who was told, and when, is not recorded."))
    said: str = joined(" ", parts)
    return said
