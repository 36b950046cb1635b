"""What a job that is open again tells: why, which answers the office changed, what a paper says since."""

from __future__ import annotations

import json
from typing import Any

from heaterapp import archive
from heaterapp.archive.correcting import Opened
from heaterapp.languages import say
from heaterapp.rules import CATALOGUE
from heaterapp.web.days import days_told, local_day
from heaterapp.web.recorded import shown
from heaterapp.web.security import store

OPENED = "{who} opened this job again on {day} to be signed anew: {reason}. Look at it, then sign."
CHANGED = "The office changed {label}: was {was}, now {now}."
OTHERWISE = (
    "{number}, issued since on {day}, says {label}: {there}. This job says: {here}."
    " Look which is right before you sign."
)
NOTHING = "not given"


def opened_again(job: archive.Job, section: str = "") -> list[str]:
    """What stands above an open job where it is begun and where it is reviewed and signed."""
    if section not in ("", "job") or job.revision == 1 or job.state != "draft":
        return []
    opened = store().corrections.opened(job.organisation, job.id)
    if opened is None:
        return _otherwise(job, opened)
    names = {one.id: one.name for one in store().people.all(job.organisation)}
    who = names.get(opened.person or 0, say("The office"))
    reason = days_told(opened.reason).rstrip(".")
    day = local_day(opened.at)
    why = [say(OPENED, who=who, day=day, reason=reason), *changed(job, opened)]
    return why + _otherwise(job, opened)


def standing(job: archive.Job) -> str:
    """The number of the paper that stands of a job, or nothing."""
    hit = store().records.present(job.organisation, job.id)
    return hit.number if hit is not None else ""


def changed(job: archive.Job, opened: Opened) -> list[str]:
    """Which answers the office changed as it opened the job, and from what, each in a sentence."""
    before = _answers(job, opened.record)
    known = [name for name in opened.questions if name in CATALOGUE]
    told = [(name, _said(name, before.get(name)), _said(name, job.answers.get(name))) for name in known]
    return [
        say(CHANGED, label=say(CATALOGUE[name].label), was=was, now=now)
        for name, was, now in told
        if was != now
    ]


def _otherwise(job: archive.Job, opened: Opened | None) -> list[str]:
    """What the paper that stands says otherwise than this job and than the paper before it did."""
    hit = store().records.present(job.organisation, job.id)
    if hit is None or hit.erased or (opened is None and hit.revision == 1):
        return []
    paper = store().records.get(job.organisation, hit.record)
    slip = paper.supersedes if paper.context.get("correction") else None
    since = opened.record if opened is not None and opened.record != hit.record else slip
    if since is None:
        return []
    before, there = _answers(job, since), json.loads(paper.job)
    told = [
        (name, *(_said(name, one.get(name)) for one in (before, there, job.answers)))
        for name in CATALOGUE
        if there.get(name) != before.get(name)
    ]
    return [
        say(
            OTHERWISE, number=hit.number, day=local_day(hit.issued_at), label=say(CATALOGUE[name].label),
            there=says, here=here,
        )
        for name, was, says, here in told
        if says not in (was, here)
    ]


def _answers(job: archive.Job, record: int) -> dict[str, Any]:
    try:
        return dict(json.loads(store().records.get(job.organisation, record).job))
    except archive.Erased:
        return {}


def _said(name: str, answer: Any) -> str:
    return shown(name, answer) if answer is not None else say(NOTHING)
