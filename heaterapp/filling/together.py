"""Answers of one job together: what goes with the others, what a page had shown, what is merged."""

from __future__ import annotations

import json
from collections.abc import Mapping
from typing import Any

from ..languages import say, told
from ..rules import CATALOGUE, BadAnswer, Job, place_names
from .typed import questions_of


def seen_text(section: str, answers: Mapping[str, Any]) -> str:
    """The answers a page shows, carried in the page, so that only what was changed is sent on."""
    kept = {q.name: answers[q.name] for q in questions_of(section) if q.name in answers}
    return json.dumps(kept, ensure_ascii=True, sort_keys=True, separators=(",", ":"))


def seen_from(text: str | None, answers: Mapping[str, Any]) -> Mapping[str, Any]:
    """Read back `seen_text`; what cannot be read falls back on the stored answers."""
    try:
        seen = json.loads(text or "")
    except (ValueError, RecursionError):
        return answers
    return seen if isinstance(seen, dict) else answers


def kept_apart(
    answers: Mapping[str, Any], changes: Mapping[str, Any]
) -> tuple[dict[str, Any], dict[str, str]]:
    """Split changes into those that go together with the other answers, and those that cannot.

    answers  the stored answers
    changes  question -> new answer, None to take one away
    returns  the changes to save, and question -> what was expected for the ones left out
    """
    going = dict(changes)
    refused: dict[str, str] = {}
    while going:
        try:
            Job(merged(answers, going))
            break
        except BadAnswer as bad:
            culprit = bad.key if bad.key in going else _culprit(answers, going)
            if culprit is None:
                break
            label = say(CATALOGUE[bad.key].label) if bad.key in CATALOGUE else bad.key
            said = told("common", bad.said)
            beside = say("an answer that goes with {label}: {said}", label=label, said=said)
            refused[culprit] = said if culprit == bad.key else beside
            del going[culprit]
    return going, refused


def _culprit(answers: Mapping[str, Any], going: Mapping[str, Any]) -> str | None:
    for name in going:
        try:
            Job(merged(answers, {k: v for k, v in going.items() if k != name}))
        except BadAnswer:
            continue
        return name
    return next(iter(going), None)


def merged(answers: Mapping[str, Any], changes: Mapping[str, Any]) -> dict[str, Any]:
    """The stored answers with the changes made.

    An answer given by hand is no longer one accepted as usual.
    """
    new = {k: v for k, v in {**answers, **changes}.items() if v is not None}
    usual = new.get("accepted_as_usual")
    if usual and "accepted_as_usual" not in changes:
        left = [name for name in usual if name not in changes]
        new.pop("accepted_as_usual")
        if left:
            new["accepted_as_usual"] = left
    return new


def whole(answers: Mapping[str, Any], changes: Mapping[str, Any]) -> Job | None:
    """The answers with the changes made, read together at once; None where one of them has to stand apart.

    A keystroke comes here: what is read once need not be read in each of the careful steps.
    """
    usual = answers.get("accepted_as_usual")
    if changes.keys() & {"place", "amendments"} or not isinstance(usual, (list, type(None))):
        return None
    try:
        job = Job(merged(answers, changes))
    except BadAnswer:
        return None
    own = job.amendments
    return job if not own or own["base"] == place_names().get(str(job.values.get("place"))) else None


def codes_together(held: Mapping[str, Any], changes: dict[str, Any]) -> dict[str, str]:
    """Amendments lie over one place: with another they go, and given for another neither is taken.

    held     the stored answers
    changes  readable ones; of the two codes one may be added or both taken out
    returns  question -> what was expected
    """
    own = changes.get("amendments", held.get("amendments"))
    if not changes.keys() & {"place", "amendments"} or not own:
        return {}
    if own["base"] == place_names().get(changes.get("place", held.get("place"))):
        return {}
    if "amendments" not in changes:
        changes["amendments"] = None
        return {}
    changes.pop("place", None)
    del changes["amendments"]
    return {"amendments": "amendments of the job's own place"}
