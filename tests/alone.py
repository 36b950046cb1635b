"""A few checks, or the figures, judged by the engine's own steps without all the rest: a fifth of the time of `assess`.

That they come out as `assess` has them is shown for every check in test_case_coverage.py; WHOLE_GRIDS (tests/grids.py) asks `assess` itself.
"""

from __future__ import annotations

from collections.abc import Iterable, Mapping
from decimal import localcontext
from functools import cache
from typing import Any

from heaterapp.rules import Finding, Job, assess, catalog, engine
from heaterapp.rules.units import EXACT
from tests.grids import WHOLE


@cache
def _checks() -> dict[str, catalog.Check]:
    return {one.name: one for one in catalog.all_checks()}


def findings_of(answers: Mapping[str, Any], *checks: str) -> list[Finding]:
    """What is found of these checks, in their order."""
    if WHOLE:
        found = assess(answers).findings
        return [one for check in checks for one in found if one.check == check]
    job = Job(answers)
    with localcontext(EXACT):
        run = engine._Run(job, job.values["place"])
        return [one for check in checks for one in run.findings_of(_checks()[check])]


def verdicts_of(answers: Mapping[str, Any], checks: Iterable[str]) -> dict[str, str]:
    """What the rules of these checks say, by check; advice is left out."""
    return {one.check: one.verdict for one in findings_of(answers, *checks) if one.kind == "rule"}


def figures_of(answers: Mapping[str, Any]) -> dict[str, Any]:
    """Every figure as a report of these answers prints it, by name; none may break."""
    if WHOLE:
        printed: dict[str, Any] = assess(answers).as_json()["figures"]
        return printed
    job, broken = Job(answers), list[Finding]()
    with localcontext(EXACT):
        figures = engine._Run(job, job.values["place"]).all_figures(broken)
    assert not broken, broken
    return {one.name: one.as_json() for one in figures}
