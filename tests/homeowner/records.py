"""Records of whole jobs as the archive gives them, without one: what the homeowner's texts are made from.

record("gas_storage_us_ca", precharge_psi=40)   the job of tests/jobs with these answers, judged
BY_KIND                                         a job for each kind of heater
known(record), sentences(page)
"""

from __future__ import annotations

import json
from functools import cache
from pathlib import Path
from types import SimpleNamespace
from typing import Any

from heaterapp import homeowner, rules
from heaterapp.filling.signed import NotIssuable, kind_for
from heaterapp.issue import facts_of

JOBS = Path(__file__).parent.parent / "jobs"
NAMES = sorted(path.stem for path in JOBS.glob("*.json"))
BY_KIND = {
    "gas_storage": "gas_storage_us_ca", "electric_storage": "electric_storage_us_ca",
    "heat_pump_storage": "heat_pump_upc_2021", "gas_instantaneous": "gas_tankless_direct_vent_upc_2021",
    "electric_instantaneous": "electric_tankless_upc_2021", "indirect": "indirect_upc_2021",
}  # fmt: skip
FIRM = {
    "name": "Harborlight Plumbing", "phone": "555-0142", "address": "8 Quay Road, Port Larkin, CA 95999",
    "licence": "C36-000000", "settings": {"time_zone": "America/Los_Angeles"},
}  # fmt: skip
GAS_PHONE = "555-0111"


@cache
def answers_of(name: str) -> dict[str, Any]:
    """The answers of a whole job of tests/jobs."""
    whole: dict[str, Any] = json.loads((JOBS / f"{name}.json").read_text(encoding="utf-8"))["answers"]
    return whole


def record(
    name: str, firm: dict[str, Any] | None = None, issued_at: str = "2026-11-26T01:00:00Z", **different: Any
) -> Any:
    """A record of this job, certificate or whatever else it comes to; an answer of None is left out."""
    answers = {key: value for key, value in {**answers_of(name), **different}.items() if value is not None}
    return record_of(answers, firm, issued_at)


def record_of(
    answers: dict[str, Any], firm: dict[str, Any] | None = None, issued_at: str = "2026-11-26T01:00:00Z"
) -> Any:
    """A record of these answers."""
    job = rules.Job(answers)
    report = rules.assess(job)
    stored = {**job.canonical(), "place": report.place}
    try:
        kind = kind_for(stored, report.outcome)
    except NotIssuable:
        kind = "findings_report"
    return SimpleNamespace(
        kind=kind, number="C-000001", issued_at=issued_at, job=rules.canonical_bytes(stored), report=report.to_bytes(),
        organisation_snapshot=firm or FIRM, facts=facts_of(stored, "Riley Okafor"), job_id="5e" * 16,
    )  # fmt: skip


@cache
def of_job(name: str) -> Any:
    """A record of a whole job as it stands, made once."""
    return record(name)


def of_kind(kind: str) -> Any:
    """A record of a heater of this kind, made once."""
    return of_job(BY_KIND[kind])


def known(made: Any, before: int = 0, **standing: str) -> homeowner.Known:
    """What the homeowner is told of it, with so many papers of its job before it."""
    return homeowner.Known.of(made, homeowner.Standing(**standing), GAS_PHONE, before)


def page(made: Any, language: str = "en", **standing: str) -> homeowner.Page:
    """Its page in a language."""
    return homeowner.page_of(known(made, **standing), language)


def spoken(told: homeowner.Page) -> list[str]:
    """Every text of a page that is read as sentences: no heading, label, name, address or number of a paper."""
    return [
        *told.notices, *(text for pair in told.emergencies for text in pair),
        *(rule for one in told.still for rule in one.rules), told.whom_to_ask, *told.what,
        *(one.sentence for one in told.numbers), *((told.advised_first, *told.advised) if told.advised else ()), *told.signs, *told.leave_alone, told.care_first,
        *(f"{what}: {often}." for what, often in told.care), *told.warranty, *told.sale, told.paper, told.caution,
    ]  # fmt: skip
