"""What the authority accepted, a check at a time: by whom, when and why, for what was found; taken back."""

from __future__ import annotations

from collections.abc import Mapping
from typing import Any

from ..languages import say
from ..rules import BadAnswer, Job, mark_of
from .judging import judged

ACCEPTABLE = ("fails", "authority", "engineer")
TAKE_BACK = "take-back"
DANGER = "This is a danger, and nobody can accept it: make it safe, then measure again."
UNKNOWN = "What was accepted: expected one check of this job that is open. Nothing was recorded."
ANOTHER = "What was found is not what this page showed any more. Look at it, then record it again."
ALL_THREE = "Who accepted it, on which date, and why: all three, the date as YYYY-MM-DD."


class NotRecorded(ValueError):
    """Nothing was recorded. The text says why; `check` names the one whose fields hold the fault, if any."""

    def __init__(self, says: str, check: str = ""):
        super().__init__(say(says))
        self.check = check


def acceptances(answers: Mapping[str, Any], given: Mapping[str, str]) -> dict[str, Any]:
    """What is accepted in a job after one act: a finding accepted, or taken back.

    answers  those of the job
    given    check; act "take-back"; or by, on, why, and `of`, the mark of the finding as it was shown
    raises   NotRecorded
    """
    check, held = given.get("check", ""), dict(answers.get("acceptances") or {})
    if given.get("act") == TAKE_BACK:
        if check not in held:
            raise NotRecorded(UNKNOWN)
        del held[check]
        return held
    found = {f["check"]: f for f in judged(answers)["findings"] if f["kind"] == "rule"}.get(check, {})
    if found.get("hazard"):
        raise NotRecorded(DANGER, check)
    if found.get("verdict") not in ACCEPTABLE:
        raise NotRecorded(UNKNOWN)
    if given.get("of") != mark_of(found):
        raise NotRecorded(ANOTHER, check)
    said = {name: given.get(name, "") for name in ("by", "on", "why")}
    held[check] = {**said, "verdict": found["verdict"], "found": found["found"] or "", "of": given["of"]}
    try:
        return Job({"acceptances": held}).acceptances
    except BadAnswer:
        raise NotRecorded(ALL_THREE, check) from None
