"""Two devices on one job: what each says where they say different things, for a person to choose."""

from __future__ import annotations

from collections.abc import Mapping
from typing import Any

from heaterapp.languages import say
from heaterapp.rules import CATALOGUE
from heaterapp.web.one_job import in_words
from heaterapp.web.recorded import amended_words

LABELS = {
    "accepted_as_usual": "Accepted as usual",
    "acceptances": "What the authority accepted",
    "amendments": "Amendments to the codes",
}


def clashes(
    here: Mapping[str, Any], base: Mapping[str, Any], sent: Mapping[str, Any]
) -> dict[str, dict[str, str]]:
    """Return question -> label and both values in words, where both changed it since `base`.

    here  the answers that stand at the server
    base  the answers that the phone began with
    sent  the answers that the phone signed

    What only the server has changed clashes as well: nobody has signed that yet.
    """
    names = sorted({*here, *sent})
    return {
        name: {
            "label": say(CATALOGUE[name].label) if name in CATALOGUE else say(LABELS.get(name, name)),
            "here": words(name, sent.get(name)),
            "there": words(name, here.get(name)),
        }
        for name in names
        if here.get(name) not in (sent.get(name), base.get(name))
    }


def words(name: str, answer: Any) -> str:
    """Return one stored answer as the form would read it out."""
    if answer is None:
        return say("no answer")
    if name in CATALOGUE:
        return in_words(name, answer)
    if name == "amendments":
        return amended_words(answer)
    if name == "acceptances":
        return "; ".join(f"{check}: {one['by']}, {one['on']}" for check, one in answer.items())
    return ", ".join(say(CATALOGUE[one].label) for one in answer if one in CATALOGUE) or say("nothing")
