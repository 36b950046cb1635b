"""Runs every case table in tests/cases: one file a check, named as the check is."""

from __future__ import annotations

import tomllib
from decimal import Decimal
from pathlib import Path
from typing import Any

import pytest

from heaterapp.rules import assess

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


@pytest.mark.parametrize(("check", "base", "case"), _cases())
def test_the_case_comes_out_as_its_table_says(check: str, base: dict[str, Any], case: dict[str, Any]) -> None:
    report = assess(_answers(base, case)).as_json()
    kind = case.get("kind", "rule")
    found = [f for f in report["findings"] if f["check"] == check and f["kind"] == kind]
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
    if "outcome" in case:
        assert report["outcome"] == case["outcome"]
    for name, value in case.get("figures", {}).items():
        assert report["figures"][name]["value"] == value, report["figures"][name]
