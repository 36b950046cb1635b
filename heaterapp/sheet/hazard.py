"""What stands above everything when a life-safety check fails."""

from __future__ import annotations

from collections.abc import Iterable, Mapping
from html import escape
from typing import Any

from ..languages import say, told
from ..rules.questions import CATALOGUE
from .answered import told as answered
from .words import STOP, WHAT_WAS_DONE

Item = Mapping[str, Any]


def hazard_html(answers: Mapping[str, Any], findings: Iterable[Item], done_at: str) -> str:
    """What stands above everything when a life-safety check fails: stop, why, and what was done about it.

    done_at  address of the field that records what was done
    """
    grave = [f for f in findings if f.get("hazard")]
    if not grave:
        return ""
    # How sure the section is stands with the finding itself; here only what to stop for.
    whole = (told(f["check"], f["why"].partition(" (Read in:")[0]) for f in grave)
    said = (one.replace(STOP.here, "").strip() for one in whole)
    whys = "".join(f"<li>{escape(why)}</li>" for why in said)
    done = answers.get("hazard_action")
    words = CATALOGUE["hazard_action"].choices.get(str(done), "") if done else ""
    written = answered(answers, "hazard_words").rstrip(".")
    found = f"<p>{escape(say('In your words: {what}.', what=written))}</p>" if written else ""
    what = found + (
        f"<p>{escape(say('Recorded: {what}.', what=say(words)))}</p>"
        if words
        else f'<p><a class="button" href="{escape(done_at)}">{WHAT_WAS_DONE.here}</a></p>'
    )
    return (
        f'<div class="emergency" role="alert"><p class="stop"><b>{STOP.here}</b></p>'
        f"<ul>{whys}</ul>{what}</div>"
    )
