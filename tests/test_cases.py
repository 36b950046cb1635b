"""Runs every case table in tests/cases: one file a check, named as the check is.

A case that tells of its finding alone has its check judged alone (tests/alone.py); one that tells of figures or the outcome too, by `assess`.
"""

from __future__ import annotations

import tomllib
from decimal import Decimal
from pathlib import Path
from typing import Any

import pytest

from heaterapp.rules import Finding, Report, assess
from tests import alone

FOLDER = Path(__file__).parent / "cases"
ALLOWED = {
    "name", "place", "answers", "drop", "verdict", "kind", "found", "limit", "why", "why_has", "fix_has", "section", "missing",
    "figures", "at_limit", "source", "outcome", "confidence", "book",
}  # fmt: skip


def _cases() -> list[Any]:
    found = []
    for path in sorted(FOLDER.glob("*.toml")):
        data = tomllib.loads(path.read_text(encoding="utf-8"), parse_float=Decimal)
        check = path.name.removesuffix(".toml")
        assert set(data) <= {"base", "case"}, f"{path.name}: unknown table"
        for case in data["case"]:
            assert set(case) <= ALLOWED, f"{path.name} {case['name']}: unknown key {set(case) - ALLOWED}"
            found.append(pytest.param(check, data.get("base", {}), case, id=f"{check}: {case['name']}"))
    return found


def _answers(base: dict[str, Any], case: dict[str, Any]) -> dict[str, Any]:
    answers = {
        **base,
        **case.get("answers", {}),
        "place": case.get("place", base.get("place", "model_upc_2021")),
    }
    return {k: v for k, v in answers.items() if k not in case.get("drop", ())}


def _judged(check: str, case: dict[str, Any], answers: dict[str, Any]) -> tuple[list[Finding], Report | None]:
    """What is found of the check, and the report where the case tells of more than that."""
    if "figures" in case or "outcome" in case:
        report = assess(answers)
        return [one for one in report.findings if one.check == check], report
    return alone.findings_of(answers, check), None


@pytest.mark.parametrize(("check", "base", "case"), _cases())
def test_the_case_comes_out_as_its_table_says(check: str, base: dict[str, Any], case: dict[str, Any]) -> None:
    findings, report = _judged(check, case, _answers(base, case))
    kind = case.get("kind", "rule")
    found = [one.as_json() for one in findings if one.kind == kind]
    if case["verdict"] == "none":
        assert not found, found
        return
    assert len(found) == 1, f"{check} gave {len(found)} findings of kind {kind}"
    finding = found[0]
    assert finding["verdict"] == case["verdict"], finding
    for key in ("found", "limit", "why", "section", "confidence", "book"):
        if key in case:
            assert finding[key] == case[key], finding
    for key in ("why", "fix"):
        assert case.get(f"{key}_has", "") in finding[key], finding
    if "missing" in case:
        assert sorted(finding["missing"]) == sorted(case["missing"]), finding
    if report is not None:
        assert report.outcome == case.get("outcome", report.outcome)
        figures = report.as_json()["figures"]
        for name, value in case.get("figures", {}).items():
            assert figures[name]["value"] == value, figures[name]
