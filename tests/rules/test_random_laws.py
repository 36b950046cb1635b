"""The laws of tests/random_jobs.py on a few jobs, and that each of them can be broken."""

from __future__ import annotations

import dataclasses
import json
import random
from collections import Counter
from decimal import Decimal
from typing import Any

import pytest

from heaterapp.rules import Job, assess
from heaterapp.rules.report import Report
from tests import better, random_jobs

ANSWERS: dict[str, Any] = {
    "place": "model_upc_2021",
    "heater_kind": "gas_storage",
    "pan_fitted": "yes",
    "pan_depth_in": 2,
    "house_pressure_psi": 60,
}


def test_the_laws_hold_on_a_few_jobs() -> None:
    said: list[str] = []
    assert random_jobs.run(100, 7, said.append) == 0, said[0]
    assert said[-1].startswith("100 jobs (")
    assert ", 0 with a fault" in said[-1]
    assert " ready" in said[-1]


def _with(report: Report, check: str, verdict: str) -> Report:
    findings = tuple(
        one._replace(verdict=verdict) if one.check == check else one for one in report.findings
    )
    return dataclasses.replace(report, findings=findings)


def test_an_open_check_that_waits_for_nothing_is_told() -> None:
    report = _with(assess(ANSWERS), "pan.depth", "unanswered")
    findings = tuple(f._replace(missing=()) if f.check == "pan.depth" else f for f in report.findings)
    assert "pan.depth waits for nothing" in random_jobs.sound(dataclasses.replace(report, findings=findings))
    assert "pan.depth waits for nothing" not in random_jobs.sound(assess(ANSWERS))


def test_a_job_half_told_is_judged_too(monkeypatch: pytest.MonkeyPatch) -> None:
    seen: list[dict[str, Any]] = []

    def judged(answers: dict[str, Any]) -> Report:
        seen.append(answers)
        return assess(answers)

    monkeypatch.setattr(random_jobs, "assess", judged)
    assert list(random_jobs.half_told(ANSWERS, random.Random(3))) == []
    assert {name: seen[0][name] for name in random_jobs.STAYS} == {name: ANSWERS[name] for name in random_jobs.STAYS}
    assert len(seen[0]) > len(ANSWERS)


def test_an_error_is_told() -> None:
    report = _with(assess(ANSWERS), "supply.pressure_within_limit", "error")
    assert any("supply.pressure_within_limit" in fault for fault in random_jobs.sound(report))


def test_a_verdict_that_an_answer_takes_back_is_told() -> None:
    report = assess(ANSWERS)
    for one in report.findings:
        report = _with(report, one.check, "meets")
    assert any(list(random_jobs.one_more_answer(ANSWERS, report, random.Random(n))) for n in range(40))


def test_a_place_that_judges_otherwise_on_the_same_clauses_is_told() -> None:
    report = assess(ANSWERS)
    report = _with(report, "supply.pressure_within_limit", "engineer")
    faults = list(random_jobs.places_agree(ANSWERS, report, "us_wa", {}))
    assert any("supply.pressure_within_limit: engineer" in one for one in faults)


def test_more_that_fails_is_told() -> None:
    pipe = {
        "gas_pipe_material": "steel",
        "gas_pipe_in": "0.5",
        "gas_pipe_length_ft": 40,
        "gas_pipe_total_btuh": 900_000,
        "gas_kind": "natural",
    }
    answers = {
        "place": "model_upc_2021",
        "heater_kind": "gas_instantaneous",
        "job_kind": "new",
        "input_btuh": 199_000,
        **pipe,
    }
    report = _with(assess(answers), "gas.pipe_capacity", "meets")
    told = [list(random_jobs.more_is_better(answers, report, random.Random(n), Counter())) for n in range(60)]
    assert ["gas.pipe_capacity fails with gas_pipe_in = 0.75, more than before"] in told


def test_better_names_questions_and_checks_that_exist() -> None:
    known = {one.check for one in assess(ANSWERS).findings}
    for name, (_, checks) in random_jobs.BETTER.items():
        assert name in random_jobs.CATALOGUE
        assert set(checks) <= known, name


HEATED = {
    "place": "model_upc_2021", "heater_kind": "electric_storage", "storage_gal": 50, "volts": 240, "input_kw_at_volts": 240,
    "input_kw": "4.5", "breaker_a": 25,
}  # fmt: skip


def test_a_breaker_grows_to_the_next_size_and_no_further_than_it_may() -> None:
    # 4,500 W at 240 V: 25 to 30 A
    larger, checks = better.BETTER["breaker_a"]
    assert larger(Job(HEATED), "breaker_a", random.Random(1)) == "30"
    assert larger(Job({**HEATED, "breaker_a": 30}), "breaker_a", random.Random(1)) is None
    assert checks == ("electric.breaker",)


def test_a_strap_rises_and_stays_in_its_band() -> None:
    whole = json.loads((random_jobs.WHOLE[0].parent / "gas_storage_us_ca.json").read_text(encoding="utf-8"))["answers"]
    higher, checks = better.BETTER["strap_heights_in"]
    raised = [higher(Job(whole), "strap_heights_in", random.Random(n)) for n in range(60)]
    straps = {tuple(Decimal(one) for one in pair) for pair in raised if pair}
    # 36 and 68 in. on a tank of 18 to 76 in.: within 34.75 to 37.33 and 56.67 to 76
    assert all(36 <= low <= Decimal("37.25") and 68 <= high <= 76 for low, high in straps)
    assert any(low > 36 for low, _ in straps)
    assert any(high > 68 for _, high in straps)
    for pair in straps:
        verdicts = {one.check: one.verdict for one in assess({**whole, "strap_heights_in": [str(one) for one in pair]}).findings}
        assert {verdicts[check] for check in checks} == {"meets"}


@pytest.mark.parametrize(("name", "check"), [("breaker_a", "electric.breaker"), ("working_pressure_psi", "heater.working_pressure_covers_relief")])
def test_a_check_that_fails_for_more_is_told(monkeypatch: pytest.MonkeyPatch, name: str, check: str) -> None:
    answers = {**HEATED, "working_pressure_psi": 150, "relief_fitted": "yes", "relief_pressure_psi": 150}
    report = assess(answers)
    monkeypatch.setattr(random_jobs, "BETTER", {name: better.BETTER[name]})
    monkeypatch.setattr(random_jobs, "assess", lambda _: _with(report, check, "fails"))
    told = list(random_jobs.more_is_better(answers, report, random.Random(1), Counter()))
    assert len(told) == 1
    assert told[0].startswith(f"{check} fails with {name} = ")
