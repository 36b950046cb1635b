"""The live call: a script sends a few answers and is told what they mean now."""

from __future__ import annotations

import json
from collections.abc import Mapping
from typing import Any

from flask import Blueprint, request

from heaterapp.filling.together import kept_apart, seen_text
from heaterapp.filling.told import read_changes
from heaterapp.filling.told import told as said_of
from heaterapp.filling.typed import read_one
from heaterapp.languages import say
from heaterapp.rules import CATALOGUE, SECTIONS
from heaterapp.web.chosen_codes import OWN, as_answers
from heaterapp.web.one_job import kept, open_job, revision_of
from heaterapp.web.own_presets import own_presets
from heaterapp.web.security import require

blueprint = Blueprint("live", __name__, url_prefix="/jobs")


@blueprint.post("/<job_id>/answers")
@require("installer", "owner")
def answers(job_id: str) -> Any:
    """Take a few answers from a script and say what they mean.

    takes    {"changes": {question: answer, None takes it away; the place also as `own:` and the name
             of the firm's own amendments, which lays them over it}, "revision": the one the page was
             made of or null, "section": the one on the page, all when it is left out,
             "unread": questions whose field holds something that could not be read before}
    returns  what `sheet.live` tells, and revision, errors (question -> what was expected, as a person
             reads it), accepted (question with an error -> the words that are taken, for a machine),
             clashes (question -> what another device saved meanwhile); for one section also
             what its fields show now
    """
    job = open_job(job_id)
    sent = _sent()
    changes = sent.get("changes") if isinstance(sent, dict) else None
    if not isinstance(changes, dict) or len(changes) > len(CATALOGUE):
        return _refused(f'"changes": expected {{question: answer}}, each once, at most {len(CATALOGUE)}')
    section, revision = sent.get("section"), sent.get("revision")
    if section is not None and (not isinstance(section, str) or section not in SECTIONS):
        return _refused(f'"section": expected one of {", ".join(SECTIONS)}')
    if revision is not None and revision_of(job, revision) is None:
        return _refused('"revision": expected the number this page was given, or null')
    unread = sent.get("unread", [])
    if not isinstance(unread, list) or not all(isinstance(name, str) for name in unread[: len(CATALOGUE)]):
        return _refused('"unread": expected a list of questions')
    if job.state != "draft":
        return {"error": say("This job is issued; nothing was changed.")}, 409
    readable, errors, accepted = read_changes(changes, {"place": _codes})
    going, refused = kept_apart(job.answers, readable)
    job, clashes = kept(job, going, None if revision is None else revision_of(job, revision))
    still = dict.fromkeys(name for name in unread[: len(CATALOGUE)] if name not in readable)
    unread = still | errors | refused
    wanted = (section,) if section else tuple(SECTIONS)
    told = said_of(job.answers, unread, section, wanted, presets=own_presets())
    if section:
        told["seen"] = seen_text(section, job.answers)
    told |= {"errors": errors | refused, "accepted": accepted, "clashes": clashes}
    return {**told, "revision": job.revision}


def _codes(given: Any) -> Mapping[str, Any]:
    own = isinstance(given, str) and given.startswith(OWN)
    return as_answers(given) if own else {"place": read_one("place", given)}


def _sent() -> Any:
    try:
        return json.loads(request.get_data(), object_pairs_hook=_each_once) if request.is_json else None
    except (ValueError, RecursionError):
        return None


def _each_once(pairs: list[tuple[str, Any]]) -> dict[str, Any]:
    if len(dict(pairs)) < len(pairs):
        raise ValueError("a key twice")
    return dict(pairs)


def _refused(says: str) -> Any:
    return {"error": f"{says}. Nothing was changed."}, 400
