"""Feeds each check what its signature asks for, and names what is missing, silent or broken."""

from __future__ import annotations

import logging
import re
from collections.abc import Callable
from decimal import Decimal, localcontext
from typing import Any

from .absence import NO_SUCH_PART, absence
from .amendments import named
from .binding import Bound, amended_bindings, bindings
from .book import UNCITED, Clause
from .catalog import Check, all_checks, figure_contracts, questions_read
from .figure import FigureRule, as_printed
from .job import Job
from .known import SILENT, Got, Known
from .plausible import implausible
from .questions import CATALOGUE
from .reading import BadAnswer
from .report import TOPICS, Figure, Finding, Kind, Report, Result, Worked, as_stored, canonical_bytes
from .settle import acceptance_of, as_amended, note_of, settled
from .units import EXACT, bare, plain
from .version import RULESET, digest
from .when import When

_log = logging.getLogger(__name__)
_UNMEASURED = "Measure it when it can be reached, or have the authority accept it as it is."


class _Run:
    """One job judged under one place."""

    def __init__(self, job: Job, place_name: str) -> None:
        self.job = job
        self.place, self.checks, figures = bindings(place_name)
        if job.amendments:
            if job.amendments["base"] != self.place.name:
                raise BadAnswer("amendments", f"amendments of {self.place.name}, the job's own place")
            stored = canonical_bytes(job.amendments).decode()
            self.place, self.checks, figures = amended_bindings(stored)
        self.known = Known(job, figures)
        self._absences: dict[When, str] = {}

    def findings_of(self, check: Check) -> list[Finding]:
        """A check's findings: its rule, and its advice where it gives some."""
        bound = self.checks[check.name]
        try:
            got, arguments = self.known.gather(check.contract, bound)
            if got is not None:
                results = [self._stopped(check, got, check.kind)]
            else:
                results = _called(check, arguments, bound)
            findings = []
            for one in results:
                result = as_amended(one, self.place.clauses, self.job) if self.job.amendments else one
                if result.verdict == "unanswered":
                    result = self._excused(check, result)
                clause = self._deciding(result.clause) if result.clause else bound.clause
                if result.verdict == "fails":
                    result = settled(result, clause, check, self.job)
                findings.append(self._finding(check, clause, result))
            return findings
        except Exception as broken:
            _log.exception("check %s", check.name)
            why = f"This check broke: {type(broken).__name__}: {broken}"[:300]
            return [self._finding(check, bound.clause, Result("error", why))]

    def _excused(self, check: Check, result: Result) -> Result:
        """What waits only for what could not be measured is left to the authority."""
        still_open = self.known.open(*result.needs)
        waits = tuple(still_open or result.needs or self._missing(check) or self._away(check))
        if not waits and any(self.known.got(one.name).status == "silent" for one in check.contract.arguments):
            return self._stopped(check, SILENT, result.kind)
        if not waits or check.must_measure:
            return result._replace(needs=waits)
        if not self.known.tried(waits):
            still = tuple(one for one in waits if self.known.got(one).status == "open")
            return result._replace(needs=still or waits)
        return self._stopped(check, Got("could_not_measure", None, waits), result.kind)

    def _stopped(self, check: Check, got: Got, kind: Kind) -> Result:
        if got.status == "absent":
            return Result("not_applicable", self._absence(check.contract.when), kind=kind)
        if got.status == "silent":
            behind = (figure_contracts()[a.name][1] for a in check.contract.arguments if a.figure)
            named = (c for needs in (check.contract, *behind) for c in needs.clauses)
            why = next((self.place.silent[c] for c in named if c in self.place.silent), "")
            return Result("silent", why or "The adopted book does not state this.", kind=kind)
        if got.status == "could_not_measure" and not check.must_measure:
            given = self.job.reasons
            said = (f"{CATALOGUE[n].label}: {given[n].rstrip(' .')}" for n in got.names if n in given)
            reasons = "; ".join(said)
            return Result("authority", f"Could not be measured. {reasons}.", fix=_UNMEASURED, kind=kind)
        labels = "; ".join(CATALOGUE[n].label for n in got.names if n in CATALOGUE)
        taken = tuple(n for n in got.names if n in self.job.assumed)
        return Result("unanswered", f"To answer: {labels}.", fix=f"Answer: {labels}.", kind=kind, needs=taken)

    def _absence(self, when: When) -> str:
        if when not in self._absences:
            ruled_out = self.known.holds(when) is False
            told = absence(when, self.known.__getitem__, self.job.assumed) if ruled_out else NO_SUCH_PART
            self._absences[when] = told
        return self._absences[when]

    def _deciding(self, ident: str) -> Clause:
        if ident not in self.place.clauses:
            raise LookupError(f"decided by {ident}, which {self.place.name} does not have")
        return self.place.clauses[ident]

    def _finding(self, check: Check, clause: Clause | None, result: Result) -> Finding:
        found, limit = as_stored(result)
        open_item = result.verdict in ("fails", "authority", "engineer")
        missing: tuple[str, ...] = ()
        why = result.why + note_of(result, clause)
        if result.verdict == "unanswered":
            missing = tuple(dict.fromkeys(result.needs))
            why = " ".join((why, *self._clashes(missing)))
        cited = clause or UNCITED
        return Finding(
            check.name, check.topic, result.kind, result.verdict, result.title or check.title,
            found, limit, result.unit, why, result.fix or (check.remedy if open_item else ""),
            cited.book, cited.section, cited.confidence, check.questions, missing, check.hazard,
            acceptance_of(result, check, self.job, found, limit, why),
        )  # fmt: skip

    def _clashes(self, missing: tuple[str, ...]) -> list[str]:
        """What is said of those open questions whose answers contradict others, each thing once."""
        nonsense = self.known.nonsense
        told_of = dict.fromkeys(nonsense[one] for one in missing if one in nonsense)
        return [one for one in told_of if not any(one in more and one != more for more in told_of)]

    def _missing(self, check: Check) -> list[str]:
        when = check.contract.when
        conditions = when.waited_for if self.known.holds(when) is None else ()
        arguments = check.contract.arguments
        needed = self.known.open(*(a.name for a in arguments if a.required), *conditions)
        if needed:
            return needed
        may_help = self.known.open(*(a.name for a in arguments if not a.required))
        # what is asked only after another open answer waits for that one first
        return [name for name in may_help if self.known.holds(CATALOGUE[name].when)] or may_help

    def _away(self, check: Check) -> list[str]:
        """Questions said to be "not here" that a check cannot do without in this case."""
        return [one for one in check.questions if self.job.state.get(one) == "not_here"]

    def all_figures(self, broken: list[Finding]) -> tuple[Figure, ...]:
        """Every figure that can be computed; one that breaks is named in `broken`."""
        shown = []
        for name, (rule, _) in figure_contracts().items():
            try:
                got = self.known.got(name)
            except Exception as fault:
                _log.exception("figure %s", name)
                broken.append(_broken_figure(name, fault))
                continue
            if got.status != "ok":
                continue
            work: Worked = got.value
            # a band that waits for the strap's width is no height to act on
            printed = None if rule.band and work.unsettled else as_printed(work.value, rule, work.edges)
            held_at = "" if work.held_at is None else bare(work.held_at)
            said = (_rounding_told(work, printed, rule), rule.source, work.says, work.unsettled, held_at)
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
    return [result] if isinstance(result, Result) else [one for one in result if one is not None]


def _rounding_told(work: Worked, printed: str | list[str] | None, rule: FigureRule) -> str:
    """A working that says which way its printed answer was rounded, where a calculator gives another."""
    worked = work.worked
    if isinstance(work.value, tuple) and isinstance(printed, list) and worked and rule.up and not rule.band:
        return f"{worked}, rounded up" if work.value != tuple(map(Decimal, printed)) else worked
    if not (rule.down or rule.up) or not isinstance(work.value, Decimal) or not isinstance(printed, str):
        return worked
    answer = Decimal(printed)
    if answer == work.value or worked.endswith((", rounded down", ", rounded up")):
        return worked
    if plain(answer) not in (come.split(" ")[0].rstrip(",;") for come in re.split(" = |: ", worked)[1:]):
        return worked
    return f"{worked}, rounded down" if rule.down else f"{worked}, rounded up"


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
    assumed = {n: str(v) for n, v in job.assumed.items() if n in read and run.known.got(n).status == "ok"}
    broken: list[Finding] = []
    figures = run.all_figures(broken)
    flags, amended_by = implausible(job, run.known.nonsense), named(job.amendments)
    return Report(
        run.place.name, RULESET, digest(), figures, (*findings, *broken), assumed, flags, amended_by
    )  # fmt: skip
