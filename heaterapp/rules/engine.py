"""Feeds each check what its signature asks for, and names what is missing, silent or broken."""

from __future__ import annotations

import logging
from collections.abc import Callable
from dataclasses import replace
from decimal import Decimal, localcontext
from typing import Any, Literal, NamedTuple

from .absence import absence
from .amendments import named
from .binding import Bound, amended_bindings, bindings
from .book import Clause
from .catalog import Argument, Check, Contract, all_checks, figure_contracts, questions_read
from .figure import FigureRule
from .impossible import impossible
from .job import Job
from .plausible import implausible
from .questions import CATALOGUE
from .reading import BadAnswer
from .report import TOPICS, Figure, Finding, Report, Result, Worked, canonical_bytes, side_by_side
from .settle import acceptance_of, as_amended, note_of, settled
from .units import EXACT, bare, rounded
from .version import RULESET, digest
from .when import NOT_ASKED

Status = Literal["ok", "open", "could_not_measure", "absent", "silent"]

_log = logging.getLogger(__name__)
_CALLED: dict[str, Any] = {}
_UNMEASURED = "Measure it when it can be reached, or have the authority accept it as it is."


class Got(NamedTuple):
    """What is known of one argument: its value, or why there is none and on which questions that rests."""

    status: Status
    value: Any = None
    names: tuple[str, ...] = ()


class _Run:
    """One job judged under one place."""

    def __init__(self, job: Job, place_name: str) -> None:
        self.job = job
        self.place, self.checks, self.figures = bindings(place_name)
        if job.amendments:
            if job.amendments["base"] != self.place.name:
                raise BadAnswer("amendments", f"amendments of {self.place.name}, the job's own place")
            stored = canonical_bytes(job.amendments).decode()
            self.place, self.checks, self.figures = amended_bindings(stored)
        self.known: dict[str, Got] = {}
        self.nonsense = impossible(job.values, job.look)

    def question(self, name: str) -> Got:
        """What this job says on a question."""
        value = self.job.look(name)
        if value is NOT_ASKED:
            return Got("absent", None, (name,))
        state = self.job.state.get(name)
        if state == "could_not_measure":
            return Got("could_not_measure", None, (name,))
        if name in self.nonsense:
            return Got("open", None, (name,))
        return Got("open", None, (name,)) if value is None else Got("ok", value)

    def figure(self, name: str) -> Got:
        """A figure's worked value, or what keeps it from being computed."""
        rule, needs = figure_contracts()[name]
        bound = self.figures[name]
        got, arguments = self._gather(needs, bound)
        if got is not None:
            return got
        assert bound.values is not None
        work = rule.work(**arguments, **bound.values)
        waits = tuple(self._open(*work.needs))
        if not waits:
            return Got("ok", work)
        return Got("could_not_measure" if self._tried(waits) else "open", None, waits)

    def get(self, name: str) -> Got:
        """A question or a figure, worked once."""
        if name not in self.known:
            self.known[name] = self.figure(name) if name in self.figures else self.question(name)
        return self.known[name]

    def look(self, name: str) -> Any:
        """The value as conditions see it."""
        got = self.get(name)
        if got.status == "ok":
            return got.value.value if isinstance(got.value, Worked) else got.value
        return NOT_ASKED if got.status == "absent" else None

    def _gather(self, needs: Contract, bound: Bound) -> tuple[Got | None, dict[str, Any]]:
        holds = needs.when.holds(self.look)
        if holds is False:
            return Got("absent"), _CALLED
        if bound.values is None:
            return Got("silent"), _CALLED
        arguments: dict[str, Any] = {}
        worst: dict[Status, list[str]] = {}
        for wanted in needs.arguments:
            self._take(wanted, arguments, worst)
        if "absent" in worst:
            return Got("absent", None, tuple(worst["absent"])), _CALLED
        if holds is None:
            for name in needs.when.names:
                got = self.get(name)
                if got.status in ("open", "could_not_measure"):
                    worst.setdefault(got.status, []).extend(got.names)
        for status in ("open", "could_not_measure", "silent"):
            if status in worst:
                return Got(status, None, tuple(dict.fromkeys(worst[status]))), _CALLED
        return None, arguments

    def _take(self, wanted: Argument, arguments: dict[str, Any], worst: dict[Status, list[str]]) -> None:
        got = self.get(wanted.name)
        if wanted.given and wanted.name in self.job.assumed:
            got = Got("open", None, (wanted.name,))
        value = got.value
        if wanted.mode == "raw" and self.job.values.get(wanted.name) == "unknown" and got.status == "open":
            got, value = Got("ok"), "unknown"
        if got.status != "ok":
            if wanted.required and not (got.status == "absent" and wanted.or_not_here):
                worst.setdefault(got.status, []).extend(got.names or (wanted.name,))
            arguments[wanted.name] = None
        elif wanted.mode == "bool":
            arguments[wanted.name] = value == "yes"
        elif wanted.figure and wanted.mode != "worked":
            if value.value is None and wanted.required:
                worst.setdefault("absent", []).append(wanted.name)
            arguments[wanted.name] = value.value
        else:
            arguments[wanted.name] = value

    def findings_of(self, check: Check) -> list[Finding]:
        """A check's findings: its rule, and its advice where it gives some."""
        bound = self.checks[check.name]
        try:
            got, arguments = self._gather(check.contract, bound)
            results = (
                [replace(self._stopped(check, got), kind=check.kind)]
                if got is not None
                else _called(check, arguments, bound)
            )
            results = [self._excused(check, as_amended(r, self.place.clauses, self.job)) for r in results]
            judged = (settled(r, self._deciding(r, bound), check, self.job) for r in results)
            return [self._finding(check, bound, one) for one in judged]
        except Exception as broken:
            _log.exception("check %s", check.name)
            why = f"This check broke: {type(broken).__name__}: {broken}"[:300]
            return [self._finding(check, bound, Result("error", why))]

    def _excused(self, check: Check, result: Result) -> Result:
        """What waits only for what could not be measured is left to the authority."""
        if result.verdict != "unanswered":
            return result
        waits = tuple(self._open(*result.needs) or result.needs or self._missing(check) or self._away(check))
        if not waits and any(self.get(one.name).status == "silent" for one in check.contract.arguments):
            return replace(self._stopped(check, Got("silent")), kind=result.kind)
        if not waits or check.must_measure:
            return replace(result, needs=waits)
        if not self._tried(waits):
            still = tuple(one for one in waits if self.get(one).status == "open")
            return replace(result, needs=still or waits)
        return replace(self._stopped(check, Got("could_not_measure", None, waits)), kind=result.kind)

    def _tried(self, names: tuple[str, ...]) -> bool:
        return all(self.get(one).status == "could_not_measure" for one in names)

    def _stopped(self, check: Check, got: Got) -> Result:
        if got.status == "absent":
            return Result("not_applicable", absence(check, self.look, self.job.assumed))
        if got.status == "silent":
            behind = (figure_contracts()[a.name][1] for a in check.contract.arguments if a.figure)
            named = (c for needs in (check.contract, *behind) for c in needs.clauses)
            why = next((self.place.silent[c] for c in named if c in self.place.silent), "")
            return Result("silent", why or "The adopted book does not state this.")
        if got.status == "could_not_measure" and not check.must_measure:
            given = self.job.reasons
            said = (f"{CATALOGUE[n].label}: {given[n].rstrip(' .')}" for n in got.names if n in given)
            reasons = "; ".join(said)
            return Result("authority", f"Could not be measured. {reasons}.", fix=_UNMEASURED)
        labels = "; ".join(CATALOGUE[n].label for n in got.names if n in CATALOGUE)
        taken = tuple(n for n in got.names if n in self.job.assumed)
        return Result("unanswered", f"To answer: {labels}.", fix=f"Answer: {labels}.", needs=taken)

    def _deciding(self, result: Result, bound: Bound) -> Clause | None:
        if not result.clause:
            return bound.clause
        if result.clause not in self.place.clauses:
            raise LookupError(f"decided by {result.clause}, which {self.place.name} does not have")
        return self.place.clauses[result.clause]

    def _finding(self, check: Check, bound: Bound, result: Result) -> Finding:
        clause = self._deciding(result, bound)
        found, limit = side_by_side(result.found, result.limit, write=bare)
        open_item = result.verdict in ("fails", "authority", "engineer")
        missing = tuple(dict.fromkeys(result.needs)) if result.verdict == "unanswered" else ()
        told_of = dict.fromkeys(self.nonsense[one] for one in missing if one in self.nonsense)
        clash = [one for one in told_of if not any(one in more and one != more for more in told_of)]
        why = " ".join((result.why + note_of(result, clause), *clash))
        told = {"found": found, "limit": limit, "why": why}
        return Finding(
            check=check.name, topic=check.topic, kind=result.kind, verdict=result.verdict, title=check.title,
            found=found, limit=limit, unit=result.unit,
            why=why,
            fix=result.fix or (check.remedy if open_item else ""),
            book=clause.book if clause else "", section=clause.section if clause else "",
            confidence=clause.confidence if clause else "", questions=check.questions, missing=missing,
            hazard=check.hazard, accepted=acceptance_of(result, check, self.job, told),
        )  # fmt: skip

    def _missing(self, check: Check) -> list[str]:
        when = check.contract.when
        conditions = when.names if when.holds(self.look) is None else ()
        arguments = check.contract.arguments
        needed = self._open(*(a.name for a in arguments if a.required), *conditions)
        if needed:
            return needed
        may_help = self._open(*(a.name for a in arguments if not a.required))
        # what is asked only after another open answer waits for that one first
        return [name for name in may_help if CATALOGUE[name].when.holds(self.look)] or may_help

    def _away(self, check: Check) -> list[str]:
        """Questions said to be "not here" that a check cannot do without in this case."""
        return [one for one in check.questions if self.job.state.get(one) == "not_here"]

    def _open(self, *names: str) -> list[str]:
        got = (self.get(one) for one in names)
        return [name for one in got if one.status in ("open", "could_not_measure") for name in one.names]

    def all_figures(self, broken: list[Finding]) -> tuple[Figure, ...]:
        """Every figure that can be computed; one that breaks is named in `broken`."""
        shown = []
        for name, (rule, _) in figure_contracts().items():
            try:
                got = self.get(name)
            except Exception as fault:
                _log.exception("figure %s", name)
                broken.append(_broken_figure(name, fault))
                continue
            if got.status != "ok":
                continue
            work: Worked = got.value
            printed = _printed(work.value, rule)
            said = (work.worked, rule.source, work.says, work.unsettled)
            shown.append(Figure(name, printed, rule.unit, rule.formula, *said))
        return tuple(shown)


def _broken_figure(name: str, fault: Exception) -> Finding:
    why = f"This figure broke: {type(fault).__name__}: {fault}"[:300]
    title = f"The figure {name} can be worked out."
    return Finding(
        f"figure.{name}", TOPICS[0], "rule", "error", title, None, None, "", why, "", "", "", "", ()
    )  # fmt: skip


def _called(check: Check, arguments: dict[str, Any], bound: Bound) -> list[Result]:
    assert bound.values is not None
    run: Callable[..., Any] = check.run
    result = run(**arguments, **bound.values)
    return [r for r in result if r is not None] if isinstance(result, (tuple, list)) else [result]


def _printed(value: Any, rule: FigureRule) -> str | list[str] | None:
    if isinstance(value, Decimal):
        return rounded(value, rule.step, up=rule.up)
    if isinstance(value, tuple):
        return [rounded(one, rule.step, up=rule.up) for one in value]
    return None if value is None else str(value)


def judge(job: Job, place_name: str) -> Report:
    """Judge a job under a place's books.

    job         the answers given so far
    place_name  a name or alias that `book.place_names` knows
    returns     the report; never raises for what a check does
    raises      UnknownPlace
    """
    with localcontext(EXACT):
        return _judged(_Run(job, place_name), job)


def _judged(run: _Run, job: Job) -> Report:
    findings = tuple(finding for check in all_checks() for finding in run.findings_of(check))
    read = questions_read()
    assumed = {n: str(v) for n, v in job.assumed.items() if n in read and run.question(n).status == "ok"}
    broken: list[Finding] = []
    figures = run.all_figures(broken)
    return Report(
        run.place.name, RULESET, digest(), figures, (*findings, *broken), assumed, implausible(job),
        named(job.amendments),
    )  # fmt: skip
