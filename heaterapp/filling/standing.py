"""Where a job stands at its review: what is open in the order of the form, what keeps it from being signed.

One reading for the server's page and for the phone's, so that no two sentences contradict each other.
"""

from __future__ import annotations

from collections.abc import Iterable, Mapping
from dataclasses import dataclass
from typing import Any

from ..languages import say
from ..rules import SECTIONS
from ..rules.questions import ORDER
from ..sheet.findings import blocks
from .mended_at import place_of
from .signed import NotIssuable, kind_for, lacking

Told = Mapping[str, Any]
QUESTION_OF = {"date": "work_date", "year": "install_year"}
"""What `lacking` names otherwise than its question."""
_PLACES = {section: place for place, section in enumerate(SECTIONS)}

AFTER_ALL = "It can be signed once all of this is answered."
LIST_NOW = (
    "A correction list can be signed as it stands: what is not answered is printed on it as not answered."
)
FINDINGS_NOW = (
    "A findings report can be signed as it stands: what is not answered is printed on it as not answered."
)
MEND = "Something to mend before it can be signed"
FIRST = "Before it can be signed, answer:"


@dataclass(frozen=True)
class Standing:
    """What the review of a job tells.

    kind     the paper that it can end in now, None while that is open
    lead     the line above all
    fix      findings that keep a certificate from being issued, in the order of the form
    taken    those that the authority accepted
    others   those that are left to the authority or a designer
    todo     the questions that are open, in the order of the form
    first    those of them without which nothing is signed, where a paper could be signed but for them
    mend     question -> what is wrong with an answer that is given, and keeps the job from being signed
    follows  what can be done now, in a sentence; empty where nothing is open
    """

    kind: str | None
    lead: str
    fix: list[Told]
    taken: list[Told]
    others: list[Told]
    todo: list[str]
    first: list[str]
    mend: dict[str, str]
    follows: str

    @property
    def signable(self) -> bool:
        """Whether it can be signed now."""
        return bool(self.kind) and not self.first and not self.mend


def where_it_stands(answers: Mapping[str, Any], report: Told, now: Told, today: str = "") -> Standing:
    """Where a job stands.

    answers  those that this version reads
    report   what `judging.judged` gave for them
    now      what `sheet.live.live` told of the two
    today    the day by the clocks of who asks, as in `signed.lacking`
    """
    rule = [f for f in report["findings"] if f["kind"] == "rule"]
    taken = [f for f in rule if f.get("accepted")]
    fix = [f for f in rule if blocks(f)]
    others = [f for f in rule if f["verdict"] in ("authority", "engineer") and not f.get("accepted")]
    kind, todo = _kind(answers, report["outcome"]), list(now["todo"])
    lacks = {QUESTION_OF.get(name, name): says for name, says in lacking(answers, kind, today).items()}
    mend = {name: says for name, says in lacks.items() if name not in todo}
    first = [name for name in todo if name in lacks] if kind else []
    lead = say(MEND) if mend and not todo and not fix else now["outcome_words"]
    return Standing(
        kind, lead, in_form_order(fix, now), in_form_order(taken, now), in_form_order(others, now),
        todo, first, mend,
        _follows(kind, todo, first, mend),
    )  # fmt: skip


def in_form_order(findings: Iterable[Told], now: Told) -> list[Told]:
    """Findings as the questions that they are about come in the form."""

    def at(finding: Told) -> tuple[int, int]:
        section, question = place_of(finding, now["asked"], now["spare"])
        return _PLACES[section], ORDER.get(question, len(ORDER))

    return sorted(findings, key=at)


def _kind(answers: Mapping[str, Any], outcome: str) -> str | None:
    try:
        return kind_for(answers, outcome) if answers.get("place") else None
    except NotIssuable:
        return None


def _follows(kind: str | None, todo: list[str], first: list[str], mend: Mapping[str, str]) -> str:
    if not kind:
        return say(AFTER_ALL)
    if first:
        return say(FIRST)
    if not todo or mend or kind == "certificate":
        return ""
    return say(FINDINGS_NOW if kind == "findings_report" else LIST_NOW)
