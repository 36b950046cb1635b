"""Issued records to print, made from the whole jobs; the town and its people are invented."""

from __future__ import annotations

import copy
import fcntl
import io
import json
import math
import os
import pickle
import re
from dataclasses import dataclass, field
from pathlib import Path
from types import MappingProxyType
from typing import Any

import pytest
from pikepdf import Pdf

from heaterapp.certificate import render_here
from heaterapp.rules import Job, assess, canonical_bytes

JOBS = Path(__file__).parent.parent / "jobs"
ISSUED = "2026-11-25T17:03:26Z"
DRAWN = {
    "name": "Riley Okafor", "role": "installer", "method": "drawn", "at": "2026-11-25T17:02:11Z", "answers_sha256": "ab" * 32,
    "statement": "I installed this water heater.", "strokes": [[[10 + 4 * i, 60 + int(30 * math.sin(i / 3)), i] for i in range(60)]],
}  # fmt: skip
FIRM = {
    "name": "Harborlight Plumbing", "slug": "harborlight", "licence": "C36-000000", "phone": "555-0142",
    "address": "3 Wharf Street, Port Larkin, CA 95999", "settings": {},
}  # fmt: skip


@dataclass(frozen=True)
class Record:
    """The names of the archive's record, as its renderer sees them."""

    job: bytes
    report: bytes
    kind: str = "certificate"
    number: str = "C-000012"
    revision: int = 1
    replaces_number: str | None = None
    issued_at: str = ISSUED
    issued_by: Any = field(default_factory=lambda: MappingProxyType({"name": "Riley Okafor", "role": "installer"}))
    organisation_snapshot: Any = field(default_factory=lambda: MappingProxyType(FIRM))
    signature: bytes | None = json.dumps({"signatures": [DRAWN]}).encode()
    context: Any = field(default_factory=lambda: MappingProxyType({}))
    reason: str = ""
    ruleset_digest: str = "d1" * 32
    ruleset_version: str = "2026.1"
    previous_head: str = "3f" * 32
    content_digest: str = "c0ffee" * 10 + "abcd"
    check_code: str = "7KQ2-M4XD-9TRA"


def answers_of_job(name: str) -> dict[str, Any]:
    """The answers of a whole job by its file's name."""
    answers: dict[str, Any] = json.loads((JOBS / f"{name}.json").read_text(encoding="utf-8"))["answers"]
    return answers


@pytest.fixture(scope="session")
def answers_of():
    """The answers of a whole job by its file's name, free to change."""
    return answers_of_job


@pytest.fixture(scope="session")
def record_of():
    """A record of a job: its file's name, changed answers, and anything else of the record."""

    def make(name: str = "gas_storage_us_ca", changes: dict[str, Any] | None = None, **more: Any) -> Record:
        answers = {**answers_of_job(name), **(changes or {})}
        job = Job(answers)
        return Record(canonical_bytes(job.canonical()), assess(job).to_bytes(), **more)

    return make


@pytest.fixture(scope="session")
def with_report():
    """A record with its report changed by a function."""

    def make(record: Record, change: Any) -> Record:
        report = json.loads(record.report)
        change(report)
        return Record(record.job, json.dumps(report).encode(), record.kind)

    return make


@pytest.fixture(scope="session")
def gas(record_of) -> dict[str, bytes]:
    return render_here(record_of())


@pytest.fixture(scope="session")
def to_fix(record_of) -> dict[str, bytes]:
    return render_here(record_of("gas_storage_to_fix", kind="correction_list", number="L-000003"))


@pytest.fixture(scope="session")
def specimens(tmp_path_factory: pytest.TempPathFactory) -> dict[str, dict[str, bytes]]:
    """The files of every specimen, pressed once for all the processes that share the tests."""
    from tests.certificate.specimens import SPECIMENS, made

    if "PYTEST_XDIST_WORKER" not in os.environ:
        return {name: made(name) for name in SPECIMENS}
    with open(tmp_path_factory.getbasetemp().parent / "specimens", "a+b") as shelf:
        fcntl.flock(shelf, fcntl.LOCK_EX)
        shelf.seek(0)
        kept = shelf.read()
        if not kept:
            kept = pickle.dumps({name: made(name) for name in SPECIMENS})
            shelf.write(kept)
        pressed: dict[str, dict[str, bytes]] = pickle.loads(kept)
        return pressed


@pytest.fixture(scope="session")
def archival_specimens(specimens: dict[str, dict[str, bytes]]) -> dict[str, Pdf]:
    """The archival file of every specimen that has one, opened."""
    archival = re.compile(r"-(archival|[a-z]{2})\.pdf\Z")
    bodies = {name: body for name, files in specimens.items() for end, body in files.items() if archival.search(end)}
    return {name: Pdf.open(io.BytesIO(body)) for name, body in bodies.items()}


@pytest.fixture
def sample_answers() -> dict[str, Any]:
    return copy.deepcopy(
        {
            "tank_base_in": "18", "tank_height_in": "54", "tank_diameter_in": "20", "controls_top_in": "32",
            "controls_bottom_in": "27", "strap_heights_in": ["37", "66 3/8"], "strap_width_in": "1.5", "storage_gal": "50",
            "thermostat_f": "140", "relief_pressure_psi": "150", "house_pressure_psi": "60", "expansion_device": "tank",
            "expansion_tank_gal": "2", "precharge_psi": "40",
        }
    )  # fmt: skip


@pytest.fixture
def sample_report() -> dict[str, Any]:
    def figure(value: Any, says: str = "") -> dict[str, Any]:
        return {"value": value, "unit": "", "formula": "", "worked": "", "source": "", "says": says}

    def rule(check: str, verdict: str, limit: str, unit: str, section: str) -> dict[str, Any]:
        return {"check": check, "kind": "rule", "verdict": verdict, "limit": limit, "unit": unit, "section": section}

    return {
        "figures": {
            "upper_strap_band_in": figure(["54", "72"]), "lower_strap_band_in": figure(None, "no height satisfies both"),
            "local_atmosphere_psia": figure("14.696"), "precharge_target_psi": figure("60.0"),
            "thermal_expansion_gal": figure("0.840"), "expansion_tank_needed_gal": figure("4.000"),
            "closed_system": figure("yes"), "peak_pressure_psi": figure(None, "cannot hold"),
        },
        "findings": [
            rule("seismic.upper_strap_in_upper_third", "meets", "54 to 72", "in", "507.2"),
            rule("seismic.lower_strap_in_lower_third", "fails", "18 to 36", "in", "507.2"),
            rule("seismic.lower_strap_clear_of_controls", "fails", "4", "in", "507.2"),
            rule("expansion.tank_large_enough", "fails", "80", "psi", "608.3"),
        ],
    }  # fmt: skip
