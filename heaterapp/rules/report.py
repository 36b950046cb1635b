"""Verdicts, findings, figures and the one JSON form of a report."""

from __future__ import annotations

import json
from dataclasses import dataclass, field
from decimal import Decimal
from typing import Any, Literal, NamedTuple

from .units import MOST_PLACES, bare, beside, is_sixteenth

Verdict = Literal[
    "meets", "fails", "authority", "engineer", "unanswered", "silent", "not_applicable", "error"
]
Kind = Literal["rule", "advice"]
Outcome = Literal["ready", "fix", "unfinished"]

TOPICS = (
    "heater", "supply", "expansion", "relief", "pan", "temperature", "gas", "venting", "air", "electric",
    "place", "seismic", "alarms", "paperwork",
)  # fmt: skip


class Result(NamedTuple):
    """What a check decided.

    found, limit  what stands side by side: Decimal (printed plainly), text, or None
    why           one sentence with the numbers
    fix           what to do about it; the check's own Fix: line where empty
    clause        the deciding clause's id, where it is not the check's first
    needs         the questions that an unanswered case waits for
    title         what it holds, where that is not the check's own title
    """

    verdict: Verdict
    why: str
    found: Decimal | str | None = None
    limit: Decimal | str | None = None
    unit: str = ""
    fix: str = ""
    clause: str = ""
    kind: Kind = "rule"
    needs: tuple[str, ...] = ()
    title: str = ""


def meets(why: str, found: Any = None, limit: Any = None, unit: str = "", **more: Any) -> Result:
    """On the right side of the limit."""
    return Result("meets", why, found, limit, unit, **more)


def fails(why: str, found: Any = None, limit: Any = None, unit: str = "", **more: Any) -> Result:
    """On the wrong side of the limit."""
    return Result("fails", why, found, limit, unit, **more)


def authority(why: str, found: Any = None, limit: Any = None, unit: str = "", **more: Any) -> Result:
    """The texts conflict, or leave it to the authority having jurisdiction."""
    return Result("authority", why, found, limit, unit, **more)


def engineer(why: str, found: Any = None, limit: Any = None, unit: str = "", **more: Any) -> Result:
    """Outside the prescriptive tables: a design is needed."""
    return Result("engineer", why, found, limit, unit, **more)


def unanswered(why: str, **more: Any) -> Result:
    """Something that this case needs was not said."""
    return Result("unanswered", why, **more)


def silent(why: str, **more: Any) -> Result:
    """The adopted book does not state this."""
    return Result("silent", why, **more)


def not_applicable(why: str, **more: Any) -> Result:
    """This installation has no such part."""
    return Result("not_applicable", why, **more)


def advice(
    verdict: Verdict, why: str, found: Any = None, limit: Any = None, unit: str = "", **more: Any
) -> Result:
    """Good practice that the code does not ask for; never changes the outcome."""
    return Result(verdict, why, found, limit, unit, kind="advice", **more)


class Worked(NamedTuple):
    """A computed figure: its unrounded value, the formula with numbers in, or why there is no value.

    value   Decimal, tuple of Decimal, text, or None
    worked  the same formula with the numbers put in
    says    a short sentence: required where value is None, optional beside a value
    needs   the questions it waits for in this place, where not every place asks them: it is then open
    doubt   within what of the value nothing is decided: it rests on printed cells not surely read
    barred  the table does not permit the combination, whatever the value; or no size at all does
    edges   limits that it is held against: it is never printed on or past one where it is not
    held_at  where something gives way before the value is reached: the value is what it would be
    unsettled  it rests on something that has to be put right first: worked on with, told nobody to act on
    """

    value: Decimal | tuple[Decimal, ...] | str | None
    worked: str = ""
    says: str = ""
    needs: tuple[str, ...] = ()
    doubt: Decimal = Decimal(0)
    barred: bool = False
    unsettled: bool = False
    edges: tuple[Decimal, ...] = ()
    held_at: Decimal | None = None


class Figure(NamedTuple):
    """A figure as the report prints it."""

    name: str
    value: str | list[str] | None
    unit: str
    formula: str
    worked: str
    source: str
    says: str
    unsettled: bool = False
    held_at: str = ""

    def as_json(self) -> dict[str, Any]:
        """The figure's place in the report."""
        shape: dict[str, Any] = {
            "value": self.value, "unit": self.unit, "formula": self.formula,
            "worked": self.worked, "source": self.source,
        }  # fmt: skip
        if self.says:
            shape["says"] = self.says
        if self.unsettled:
            shape["unsettled"] = True
        if self.held_at:
            shape["held_at"] = self.held_at
        return shape


class Finding(NamedTuple):
    """One check's verdict on this job, ready for print."""

    check: str
    topic: str
    kind: str
    verdict: Verdict
    title: str
    found: str | None
    limit: str | None
    unit: str
    why: str
    fix: str
    book: str
    section: str
    confidence: str
    questions: tuple[str, ...]
    missing: tuple[str, ...] = ()
    hazard: bool = False
    accepted: dict[str, str] | None = None

    def as_json(self) -> dict[str, Any]:
        """The finding's place in the report."""
        shape: dict[str, Any] = {
            "check": self.check, "topic": self.topic, "kind": self.kind, "verdict": self.verdict,
            "title": self.title, "found": self.found, "limit": self.limit, "unit": self.unit,
            "why": self.why, "fix": self.fix, "book": self.book, "section": self.section,
            "confidence": self.confidence, "questions": list(self.questions),
        }  # fmt: skip
        if self.missing:
            shape["missing"] = list(self.missing)
        if self.hazard and self.verdict == "fails":
            shape["hazard"] = True
        if self.accepted:
            shape["accepted"] = self.accepted
        return shape


def forces(kind: str, verdict: str, accepted: object) -> Outcome:
    """Which outcome one finding alone forces; whatever is not `ready` bars a certificate.

    kind      rule or advice; advice never counts
    verdict   the finding's
    accepted  what the authority accepted, if anything; a failing hazard never carries one

    >>> forces("rule", "fails", None), forces("rule", "fails", {"by": "inspector"})
    ('fix', 'ready')
    >>> forces("advice", "fails", None), forces("rule", "unanswered", None)
    ('ready', 'unfinished')
    """
    if kind != "rule":
        return "ready"
    if verdict == "error" or (verdict == "fails" and not accepted):
        return "fix"
    return "unfinished" if verdict == "unanswered" else "ready"


@dataclass(frozen=True, slots=True)
class Report:
    """Everything the engine has to say about one job."""

    place: str
    version: str
    digest: str
    figures: tuple[Figure, ...]
    findings: tuple[Finding, ...]
    assumed: dict[str, str] = field(default_factory=dict)
    flags: tuple[dict[str, str], ...] = ()
    amended_by: dict[str, str] = field(default_factory=dict)

    @property
    def outcome(self) -> Outcome:
        """fix, unfinished or ready; advice and accepted failures do not count."""
        forced = {forces(f.kind, f.verdict, f.accepted) for f in self.findings}
        return "fix" if "fix" in forced else "unfinished" if "unfinished" in forced else "ready"

    def as_json(self) -> dict[str, Any]:
        """The report as plain data."""
        shape = {
            "place": self.place,
            "ruleset": {"version": self.version, "digest": self.digest},
            "outcome": self.outcome,
            "figures": {f.name: f.as_json() for f in self.figures},
            "findings": [f.as_json() for f in self.findings],
            "assumed": self.assumed,
            "flags": list(self.flags),
        }
        return {**shape, "amended_by": self.amended_by} if self.amended_by else shape

    def to_bytes(self) -> bytes:
        """The report's one byte form."""
        return canonical_bytes(self.as_json())


def canonical_bytes(data: Any) -> bytes:
    """JSON with sorted keys, no spaces, UTF-8 as it is: the same bytes for the same content."""
    return json.dumps(
        data, sort_keys=True, ensure_ascii=False, separators=(",", ":"), allow_nan=False
    ).encode()


def as_stored(result: Result) -> tuple[str | None, str | None]:
    """Found and limit of a result, to three places, the limit never rounded to its unsafe side.

    More places where rounding would hide that they differ.

    >>> as_stored(fails("", Decimal("80.0004"), Decimal(80)))
    ('80.001', '80')
    >>> as_stored(meets("", Decimal(1), Decimal("0.08251")))
    ('1', '0.083')
    """
    found, limit, tape = result.found, result.limit, result.unit == "in"
    if isinstance(found, Decimal) and isinstance(limit, Decimal):
        need = (found > limit) == (result.verdict == "meets")
        # one ratio is held against a least and a most, and is the same number in either finding
        found, limit = beside(found, limit, need=need, tape=tape, load=result.unit == "ratio")
        return bare(found, MOST_PLACES), bare(limit, MOST_PLACES)
    told = (
        bare(one, 4 if tape and is_sixteenth(one) else 3) if isinstance(one, Decimal) else one
        for one in (found, limit)
    )
    return next(told), next(told)
