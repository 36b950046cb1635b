"""A few answers judged, or a whole job's, as the tests of the engine ask for them."""

from __future__ import annotations

import json
from pathlib import Path
from typing import Any

from heaterapp.rules import assess, place_names

JOBS = Path(__file__).parent.parent / "jobs"
PLACES = tuple(sorted(set(place_names().values())))


def whole_job(name: str = "gas_storage_us_ca") -> dict[str, Any]:
    """The answers of one of the whole jobs."""
    answers: dict[str, Any] = json.loads((JOBS / f"{name}.json").read_text(encoding="utf-8"))["answers"]
    return answers


def judged(check: str, kind: str = "rule", place: str = "model_upc_2021", **answers: Any) -> dict[str, Any]:
    """A check's one finding of a kind, for a few answers."""
    found = [f for f in report_of(place, **answers)["findings"] if (f["check"], f["kind"]) == (check, kind)]
    assert len(found) == 1, f"{check} gave {len(found)} findings of kind {kind}"
    one: dict[str, Any] = found[0]
    return one


def report_of(place: str = "model_upc_2021", **answers: Any) -> dict[str, Any]:
    """The whole report for a few answers."""
    return assess({"place": place, **answers}).as_json()
