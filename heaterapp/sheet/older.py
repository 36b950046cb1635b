"""A report as rules of an earlier day wrote it, made whole: what they did not say yet is said as nothing."""

from __future__ import annotations

from collections.abc import Mapping
from typing import Any

from heaterapp.sheet.words import VERDICTS

REPORT: dict[str, Any] = {"outcome": "", "findings": [], "figures": {}, "assumed": {}, "flags": []}
FINDING: dict[str, Any] = {
    "kind": "rule", "title": "", "verdict": "error", "found": None, "limit": None, "unit": "", "section": "",
    "book": "", "confidence": "", "why": "", "fix": "", "questions": [],
}  # fmt: skip
FIGURE: dict[str, Any] = {
    "value": None, "unit": "", "formula": "", "worked": "", "source": "", "says": "",
}  # fmt: skip


def whole(report: Mapping[str, Any]) -> dict[str, Any]:
    """Return the report with every name that a paper looks up.

    A verdict that is missing, or that no rule gives today, is a check that broke: never one that meets.
    """
    made = {**REPORT, **report}
    made["findings"] = [_finding(one) for one in made["findings"]]
    made["figures"] = {name: {**FIGURE, **one} for name, one in made["figures"].items()}
    return made


def _finding(one: Mapping[str, Any]) -> dict[str, Any]:
    told = {"topic": str(one["check"]).partition(".")[0], **FINDING, **one}
    if told["verdict"] not in VERDICTS:
        told["verdict"] = "error"
    return told
