"""The way through a job: which sections it has, and which comes next."""

from __future__ import annotations

from collections.abc import Mapping
from typing import Any

from ..languages import say
from ..rules import SECTIONS
from .typed import questions_of


def sections_of(shown: Mapping[str, bool]) -> list[str]:
    """The sections in which a job asks something; `shown` says of every question whether it is asked."""
    return [s for s in SECTIONS if any(shown[q.name] for q in questions_of(s))]


def following(section: str, order: list[str], now: Mapping[str, Any]) -> str:
    """The next section that has something to answer or to see; the review after the last.

    now  what `sheet.live` told: `asked` and `spare`
    """
    after = order[order.index(section) + 1 :] if section in order else order
    return next((s for s in after if any(wants(now, q.name) for q in questions_of(s))), "review")


def way_on_words(onward: str) -> str:
    """The words on the button that goes on."""
    if onward not in SECTIONS:
        return say("Save, then review")
    return say("Save, then {section}", section=say(SECTIONS[onward]))


def wants(now: Mapping[str, Any], name: str) -> bool:
    """Whether a question is asked and may not stay empty."""
    return bool(now["asked"][name]) and name not in now["spare"]
