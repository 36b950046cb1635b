"""Whole jobs, judged as they stand and with random answers missing, changed or refused.

Each is judged under a third of the places too, the next job under the next third; under all of them with WHOLE_GRIDS (tests/grids.py).
"""

from __future__ import annotations

import json
from collections.abc import Callable, Mapping
from pathlib import Path
from typing import Any

import pytest
from hypothesis import HealthCheck, example, given, seed, settings
from hypothesis import strategies as st

from heaterapp.rules import CATALOGUE, BadAnswer, Job, Report, assess, catalog, place, place_names
from tests.grids import some

FOLDER = Path(__file__).parent / "jobs"
JOBS: dict[str, dict[str, Any]] = {
    path.stem: json.loads(path.read_text(encoding="utf-8")) for path in sorted(FOLDER.glob("*.json"))
}
PLACES = sorted(set(place_names().values()))
SILENT_ON_PAPER = {"meets", "not_applicable", "silent"}
WORDS = {*SILENT_ON_PAPER, "fails", "authority", "engineer", "unanswered"}
FINDING = {
    "check": str, "topic": str, "kind": str, "verdict": str, "title": str, "found": str | None, "limit": str | None, "unit": str, "why": str, "fix": str,
    "book": str, "section": str, "confidence": str, "questions": list,
}  # fmt: skip
NOT_SHOWN = {"building_kind": {"business"}}
HARD: dict[str, Callable[[Mapping[str, Any]], bool]] = {
    "a shared vent": lambda told: told.get("vent_shared") == "yes",
    "a lined chimney": lambda told: told.get("vent_kind") == "masonry_lined",
    "high country": lambda told: told["elevation_ft"] > 2000,
    "propane, its pipe sized": lambda told: told.get("gas_kind") == "propane" and "gas_pipe_in" in told,
    "208 V": lambda told: told.get("volts") == 208,
    "a gas pipe sized for a new heater": lambda told: told["job_kind"] == "new" and "gas_pipe_in" in told,
    "a gas pipe sized for one that was moved": lambda told: told["job_kind"] == "moved" and "gas_pipe_in" in told,
    "a tank swapped for a tankless of more": lambda told: told["heater_kind"] == "gas_instantaneous" and told.get("old_input_btuh", told.get("input_btuh")) < told["input_btuh"],
}
FIGURE = {"value": str | list | None, "unit": str, "formula": str, "worked": str, "source": str}


def _spoken(report: Report, kind: str) -> dict[str, str]:
    return {
        f.check: f.verdict for f in report.findings if f.kind == kind and f.verdict not in SILENT_ON_PAPER
    }


@pytest.mark.parametrize("name", JOBS)
def test_the_whole_job_comes_out_as_expected(name: str) -> None:
    expect = JOBS[name]["expect"]
    report = assess(JOBS[name]["answers"])
    assert report.outcome == expect["outcome"]
    assert {flag["question"] for flag in report.flags} == set(expect.get("flags", []))
    assert _spoken(report, "rule") == expect["open"]
    assert _spoken(report, "advice") == expect["advice"]
    figures = report.as_json()["figures"]
    assert {key: figures[key]["value"] for key in expect["figures"]} == expect["figures"]
    ruled = {f["check"]: f for f in report.as_json()["findings"] if f["kind"] == "rule"}
    told = {check: [ruled[check][key] for key in ("found", "limit", "section")] for check in expect.get("told", {})}
    assert told == expect.get("told", {})
    verdicts = {check: found["verdict"] for check, found in ruled.items()}
    assert {check: verdicts[check] for check in expect["no_part"]} == dict.fromkeys(
        expect["no_part"], "not_applicable"
    )


def _own_changes(name: str) -> bool:
    return bool({"clause", "silent"} & place(name).about.keys())


def test_the_jobs_cover_every_place_and_every_outcome_but_unfinished() -> None:
    # What a place changes of its own is held by its cases; every set of books by a whole job.
    told = {Job(job["answers"]).values["place"] for job in JOBS.values()}
    assert told == {name for name in PLACES if not _own_changes(name)}
    books = {tuple(place(name).about["books"]) for name in told}
    assert {tuple(place(name).about["books"]) for name in PLACES} == books
    assert {job["expect"]["outcome"] for job in JOBS.values()} == {"ready", "fix"}


def test_the_jobs_cover_every_kind_under_every_family_and_every_room() -> None:
    told = [Job(job["answers"]) for job in JOBS.values()]
    families = {job.values["place"]: _family(str(job.values["place"])) for job in told}
    have = {(families[job.values["place"]], job.values["heater_kind"]) for job in told}
    assert have == {(family, kind) for family in ("irc", "ipc", "upc") for kind in CATALOGUE["heater_kind"].choices}
    for name in ("room", "job_kind", "building_kind", "vent_end", "strap_kind", "relief_end", "draft_kind"):
        seen = {job.values.get(name) for job in told}
        assert set(CATALOGUE[name].choices) - seen <= NOT_SHOWN.get(name, set()), name


def test_the_jobs_show_what_is_hard() -> None:
    shown = {name: Job(job["answers"]) for name, job in JOBS.items()}
    for what, holds in HARD.items():
        assert any(holds(job.values) for job in shown.values()), what
    faults = [sum(verdict == "fails" for verdict in job["expect"]["open"].values()) for job in JOBS.values()]
    assert sum(count >= 3 for count in faults) >= 5


def _family(name: str) -> str:
    """The book that rules on the water: the first of the three model families among a place's books."""
    return next(book.split("_")[0] for book in place(name).about["books"] if book.split("_")[0] in ("irc", "ipc", "upc"))


def _in_shape(report: Report) -> None:
    data = json.loads(report.to_bytes())
    assert set(data) == {"place", "ruleset", "outcome", "figures", "findings", "assumed", "flags"}
    assert set(data["ruleset"]) == {"version", "digest"}
    for finding in data["findings"]:
        assert set(finding) - {"missing", "hazard", "accepted"} == set(FINDING), finding["check"]
        for key, kind in FINDING.items():
            assert isinstance(finding[key], kind), f"{finding['check']}.{key}: {finding[key]!r}"
        assert finding["verdict"] in WORDS, finding
        assert finding["kind"] in ("rule", "advice")
        assert finding["why"], finding["check"]
        assert set(finding["questions"]) <= set(CATALOGUE), finding["check"]
        if finding["verdict"] == "fails":
            assert finding["fix"], finding["check"]
            assert finding["section"], finding["check"]
            assert finding["kind"] == "advice" or finding["confidence"] != "memory", finding
        if finding["verdict"] == "unanswered":
            assert finding.get("missing"), f"{finding['check']} names nothing: {finding['why']}"
    for name, figure in data["figures"].items():
        assert set(figure) - {"says", "unsettled", "held_at"} == set(FIGURE), name
        for key, kind in FIGURE.items():
            assert isinstance(figure[key], kind), f"{name}.{key}"
        assert figure["value"] is not None or figure.get("says"), f"{name}: null, and no reason"
    spoken = [f for f in data["findings"] if f["kind"] == "rule"]
    blocked = any(f["verdict"] == "fails" and not f.get("accepted") for f in spoken)
    waits = any(f["verdict"] == "unanswered" for f in spoken)
    assert data["outcome"] == ("fix" if blocked else "unfinished" if waits else "ready")
    assert {f["check"] for f in data["findings"]} == {one.name for one in catalog.all_checks()}


@pytest.mark.parametrize(("name", "place"), [(name, one) for at, name in enumerate(JOBS) for one in some(PLACES, 3, at)])
def test_a_whole_job_under_any_place_keeps_the_report_s_shape(name: str, place: str) -> None:
    _in_shape(assess(Job(JOBS[name]["answers"]), place))


def _another_answer(name: str, draw: st.DrawFn) -> Any:
    question = CATALOGUE[name]
    odd = ["unknown", "not_here", {"could_not_measure": "could not be reached"}]
    if question.kind == "yes_no":
        return draw(st.sampled_from(["yes", "no", *odd]))
    if question.kind == "choice":
        return draw(st.sampled_from([*question.choices, *odd]))
    if question.kind == "number":
        assert question.hard is not None
        low, high = question.hard
        ends = st.sampled_from([str(low), str(high), *question.usual])
        return draw(ends | st.decimals(low, high, places=3).map(str) | st.sampled_from(odd[1:]))
    if question.kind in ("lengths", "two_lengths"):
        return draw(st.lists(st.integers(0, 90), min_size=2, max_size=3, unique=True).map(sorted))
    return draw(st.sampled_from([None, *odd[2:]]))


@st.composite
def _disturbed(draw: st.DrawFn) -> tuple[dict[str, Any], str]:
    answers = dict(JOBS[draw(st.sampled_from(sorted(JOBS)))]["answers"])
    names = sorted(name for name in CATALOGUE if name != "place")
    for name in draw(st.lists(st.sampled_from(names), max_size=30)):
        answers.pop(name, None)
    for name in draw(st.lists(st.sampled_from(names), max_size=12, unique=True)):
        answers[name] = _another_answer(name, draw)
    return answers, draw(st.sampled_from(PLACES))


def _judged_in_shape(job: Job, place: str) -> None:
    report = assess(job, place)
    _in_shape(report)
    assert assess(Job(job.canonical()), place).to_bytes() == report.to_bytes()


@seed(20261125)
@settings(max_examples=60, deadline=None, database=None, suppress_health_check=list(HealthCheck))
@given(_disturbed())
@example(({"place": "us_ca"}, "us_ca_2022"))
def test_a_disturbed_job_is_refused_by_name_or_judged_without_an_error(
    told: tuple[dict[str, Any], str],
) -> None:
    answers, place = told
    try:
        job = Job(answers)
    except BadAnswer as refused:
        named = refused.key
    else:
        named = ""
        _judged_in_shape(job, place)
    assert not named or named in CATALOGUE, named
