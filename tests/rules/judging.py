"""A few answers judged, or a whole job's, as the tests of the engine ask for them."""

from __future__ import annotations

import json
from pathlib import Path
from typing import Any

from heaterapp.rules import assess, place_names
from tests import alone

JOBS = Path(__file__).parent.parent / "jobs"
PLACES = tuple(sorted(set(place_names().values())))


def whole_job(name: str = "gas_storage_us_ca") -> dict[str, Any]:
    """The answers of one of the whole jobs."""
    answers: dict[str, Any] = json.loads((JOBS / f"{name}.json").read_text(encoding="utf-8"))["answers"]
    return answers


def judged(check: str, kind: str = "rule", place: str = "model_upc_2021", **answers: Any) -> dict[str, Any]:
    """A check's one finding of a kind, for a few answers."""
    found = [one for one in alone.findings_of({"place": place, **answers}, check) if one.kind == kind]
    assert len(found) == 1, f"{check} gave {len(found)} findings of kind {kind}"
    return found[0].as_json()


def report_of(place: str = "model_upc_2021", **answers: Any) -> dict[str, Any]:
    """The whole report for a few answers."""
    return assess({"place": place, **answers}).as_json()
