"""What a whole report comes to: what breaks is named, outcomes, assumptions, the same bytes anywhere.

Of the steps of a job that is told one answer at a time a fifth is judged, each job's own; all under WHOLE_GRIDS (tests/grids.py).
"""

from __future__ import annotations

import sys
from decimal import ROUND_UP, Context, Decimal, localcontext
from pathlib import Path
from typing import Any

import pytest

sys.path.insert(0, str(Path(__file__).parent))

from judging import JOBS, PLACES, judged, report_of, whole_job

from heaterapp.rules import Job, assess, catalog, engine, known
from heaterapp.rules.report import Finding, Report, Worked, as_stored, fails, meets
from tests.grids import some

VERDICTS = {
    "meets",
    "fails",
    "authority",
    "engineer",
    "unanswered",
    "silent",
    "not_applicable",
    "error",
}


# What breaks is named


@pytest.mark.parametrize(
    "acceptances", [{}, {"supply.pressure_within_limit": {"by": "x", "on": "2026-01-01", "why": "y"}}]
)
def test_a_check_that_breaks_is_named_and_stops_the_certificate(
    monkeypatch: pytest.MonkeyPatch, acceptances: dict[str, Any]
) -> None:
    real = engine._called

    def broken(check: catalog.Check, *rest: Any) -> Any:
        if check.name == "supply.pressure_within_limit":
            raise ZeroDivisionError("by nothing")
        return real(check, *rest)

    monkeypatch.setattr(engine, "_called", broken)
    report = assess({**whole_job(), "acceptances": acceptances})
    wrong = [f for f in report.findings if f.verdict == "error"]
    assert [f.check for f in wrong] == ["supply.pressure_within_limit"]
    assert "ZeroDivisionError" in wrong[0].why
    assert report.outcome == "fix"
    assert len(report.findings) == len(assess(whole_job()).findings)


def test_a_check_that_returns_nonsense_is_an_error_and_not_a_pass(monkeypatch: pytest.MonkeyPatch) -> None:
    monkeypatch.setattr(engine, "_called", lambda *_: ["meets"])
    report = assess(whole_job())
    assert {f.verdict for f in report.findings} <= {
        "error",
        "not_applicable",
        "silent",
        "unanswered",
        "authority",
    }
    assert report.outcome == "fix"


def test_a_figure_that_breaks_is_named_with_all_that_rests_on_it(monkeypatch: pytest.MonkeyPatch) -> None:
    def broken(*_: Any, **__: Any) -> Worked:
        raise ArithmeticError("out of range")

    rule, needs = catalog.figure_contracts()["peak_pressure_psi"]
    held = dict(catalog.figure_contracts())
    held["peak_pressure_psi"] = (type(rule)(**{**{k: getattr(rule, k) for k in rule.__slots__}, "work": broken}), needs)  # fmt: skip
    monkeypatch.setattr(known, "figure_contracts", lambda: held)
    report = assess(whole_job())
    wrong = {f.check for f in report.findings if f.verdict == "error"}
    assert wrong >= {"figure.peak_pressure_psi", "expansion.peak_as_set"}
    assert "seismic.strap_count" not in wrong
    assert "peak_pressure_psi" not in report.as_json()["figures"]
    assert report.outcome == "fix"


# Outcome


def _finding(verdict: Any, kind: str = "rule", accepted: dict[str, str] | None = None) -> Finding:
    return Finding(
        "a.b", "heater", kind, verdict, "T.", None, None, "", "", "", "", "", "", (), accepted=accepted
    )


@pytest.mark.parametrize(
    ("findings", "outcome"),
    [
        ((), "ready"),
        ((_finding("meets"), _finding("authority"), _finding("engineer"), _finding("silent"), _finding("not_applicable")), "ready"),
        ((_finding("meets"), _finding("unanswered")), "unfinished"),
        ((_finding("unanswered"), _finding("fails")), "fix"),
        ((_finding("unanswered"), _finding("error")), "fix"),
        ((_finding("fails", accepted={"by": "x"}),), "ready"),
        ((_finding("fails", accepted={"by": "x"}), _finding("unanswered")), "unfinished"),
        ((_finding("error", accepted={"by": "x"}),), "fix"),
        ((_finding("fails", "advice"), _finding("unanswered", "advice")), "ready"),
    ],
)  # fmt: skip
def test_the_outcome_is_fix_then_unfinished_then_ready(findings: tuple[Finding, ...], outcome: str) -> None:
    assert Report("p", "1", "d", (), findings).outcome == outcome


def test_advice_never_changes_the_outcome() -> None:
    bad = {"pipe_insulation_ft": 0, "connector_screws": 1, "stand_fixed": "no"}
    report = assess({**whole_job(), **bad})
    advised = {f.check for f in report.findings if f.kind == "advice" and f.verdict == "fails"}
    assert advised >= {"supply.pipes_insulated", "venting.connector_joints"}
    assert report.outcome == "ready"


# What is assumed, flagged, printed


def test_a_default_is_used_and_printed_as_assumed_and_only_then() -> None:
    needed = {"heater_kind": "gas_storage", "storage_gal": 50, "thermostat_f": 120}
    report = report_of(**needed)
    assert report["assumed"]["cold_inlet_f"] == "50"
    assert report["assumed"]["elevation_ft"] == "0"
    assert report["figures"]["local_atmosphere_psia"]["value"] == "14.696"
    report = report_of(**needed, cold_inlet_f=60)
    assert "cold_inlet_f" not in report["assumed"]
    assert "volts" not in report["assumed"]
    assert "circuit_count" not in report["assumed"], "a gas tank has no circuit"


def test_an_unusual_value_is_kept_judged_and_flagged() -> None:
    report = report_of(house_pressure_psi=250)
    assert [flag["question"] for flag in report["flags"]] == ["house_pressure_psi"]
    finding = next(f for f in report["findings"] if f["check"] == "supply.pressure_within_limit")
    assert (finding["verdict"], finding["found"]) == ("fails", "250")
    assert not report_of(house_pressure_psi=60)["flags"]


def test_limits_are_compared_unrounded_and_print_shows_the_difference() -> None:
    finding = judged("supply.pressure_within_limit", house_pressure_psi="80.0001")
    assert (finding["verdict"], finding["found"], finding["limit"]) == ("fails", "80.001", "80")
    assert as_stored(meets("", Decimal("2.00049"), Decimal("2.0005"))) == ("2.00049", "2.0005")
    assert as_stored(fails("", Decimal("2.00051"), Decimal("2.0005"))) == ("2.001", "2")
    assert as_stored(meets("", Decimal("2.0004"), Decimal("2.0004"))) == ("2.0004", "2.0004")


# The whole job, piece by piece, anywhere


WHOLE_JOBS = sorted(path.stem for path in JOBS.glob("*.json"))


@pytest.mark.parametrize("name", WHOLE_JOBS)
def test_a_job_told_one_answer_at_a_time_is_judged_at_every_step(name: str) -> None:
    whole = whole_job(name)
    told: dict[str, Any] = {"place": whole["place"]}
    judged_at = some(whole, 5, WHOLE_JOBS.index(name))
    for key, value in whole.items():
        told[key] = value
        job = Job(told)
        for one in assess(job).findings if key in judged_at else ():
            assert one.verdict in VERDICTS - {"error"}, f"{name}, up to {key}: {one.why}"
            if one.verdict == "unanswered":
                assert one.missing, f"{name}, up to {key}: {one.check} names nothing"
                answered = [m for m in one.missing if m in job.values and m not in job.state]
                assert not answered, f"{name}, up to {key}: {one.check} asks again for {answered}"
    assert told == whole
    assert "unanswered" not in {f.verdict for f in assess(told).findings if f.kind == "rule"}


@pytest.mark.parametrize("place", PLACES)
def test_a_blank_job_under_any_place_is_unfinished_and_all_in_order(place: str) -> None:
    report = assess({"place": place})
    assert report.outcome == "unfinished"
    assert {one.check for one in report.findings} == {one.name for one in catalog.all_checks()}


def test_the_same_job_gives_the_same_bytes_whatever_the_order_of_its_answers() -> None:
    whole = whole_job()
    backward = dict(reversed(whole.items()))
    assert assess(whole).to_bytes() == assess(backward).to_bytes()


def test_the_same_job_gives_the_same_bytes_in_any_decimal_context() -> None:
    whole = {
        **whole_job(),
        "house_pressure_psi": "62.123456",
        "storage_gal": "40.55",
        "relief_capacity_btuh": "105123",
    }
    expected = assess(whole).to_bytes()
    with localcontext(Context(prec=3, rounding=ROUND_UP, traps=[])):
        assert assess(whole).to_bytes() == expected
        assert Job(whole).canonical()["relief_capacity_btuh"] == "105123"


def test_a_stored_job_judges_as_the_typed_one_did() -> None:
    job = Job(whole_job())
    assert assess(job.canonical()).to_bytes() == assess(job).to_bytes()
