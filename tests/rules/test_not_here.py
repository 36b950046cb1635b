""" "Not here" excuses only what can be absent; what must exist stays open until it is measured.

Of the questions of a whole job a fifth is tried, each job's own; all under WHOLE_GRIDS (tests/grids.py).
"""

import json
from pathlib import Path
from typing import Any

import pytest

from heaterapp.rules import CATALOGUE, Job, assess
from heaterapp.rules.schema import job_schema
from heaterapp.rules.when import NOT_ASKED
from tests.grids import some

JOBS = {
    path.stem: json.loads(path.read_text(encoding="utf-8"))["answers"]
    for path in sorted((Path(__file__).parent.parent / "jobs").glob("*.json"))
}
SAYABLE = [
    name
    for name, shape in job_schema()["properties"].items()
    if {"const": "not_here"} in shape.get("anyOf", ())
]


def _verdicts(answers: dict[str, Any]) -> list[tuple[str, str]]:
    return [(one.check, one.verdict) for one in assess(answers).findings]


def _open_when_not_here(answers: dict[str, Any]) -> list[str]:
    """Answered questions that cannot be absent from this job, nor read as no or none, nor have a default."""
    may = (name for name in SAYABLE if name in answers and CATALOGUE[name].default is None)
    return [name for name in may if Job({**answers, name: "not_here"}).look(name) is None]


@pytest.mark.parametrize("name", JOBS)
def test_what_must_exist_and_is_called_not_here_is_judged_as_not_yet_answered(name: str) -> None:
    answers = JOBS[name]
    tried = _open_when_not_here(answers)
    assert len(tried) > 20
    for question in some(tried, 5, list(JOBS).index(name)):
        without = {key: value for key, value in answers.items() if key != question}
        assert _verdicts({**answers, question: "not_here"}) == _verdicts(without), question


@pytest.mark.parametrize(
    "question",
    ["strap_heights_in", "house_pressure_psi", "relief_end_height_in", "precharge_psi", "controls_top_in", "tank_base_in", "vent_clearance_in"],
)  # fmt: skip
def test_a_ready_job_is_unfinished_once_a_needed_measurement_is_called_not_here(question: str) -> None:
    whole = JOBS["gas_storage_us_ca"]
    assert assess(whole).outcome == "ready"
    report = assess({**whole, question: "not_here"}).as_json()
    assert report["outcome"] == "unfinished"
    waiting = [one for one in report["findings"] if question in one.get("missing", ())]
    assert waiting
    assert {one["verdict"] for one in waiting} == {"unanswered"}
    assert [one["says"] for one in report["flags"] if one["question"] == question] == [
        "“Not here” is no answer to this: give it, or say why it could not be measured."
    ]


def test_controls_may_be_absent_from_an_indirect_heater_only() -> None:
    for kind, seen in (("indirect", NOT_ASKED), ("gas_storage", None), ("electric_storage", None)):
        assert Job({"heater_kind": kind, "controls_top_in": "not_here"}).look("controls_top_in") is seen
    assert Job({"controls_top_in": "not_here"}).look("controls_top_in") is None


def test_an_ignition_source_needs_no_height_only_where_none_is_asked() -> None:
    garage = {"heater_kind": "gas_storage", "room": "garage", "ignition_height_in": "not_here"}
    assert Job({**garage, "ignition_resistant": "no"}).look("ignition_height_in") is None
    assert Job({**garage, "ignition_resistant": "yes"}).look("ignition_height_in") is NOT_ASKED


def test_no_opening_near_a_wall_terminal_is_an_answer_and_is_not_flagged() -> None:
    whole = JOBS["gas_tankless_direct_vent_upc_2021"]
    assert whole["wall_terminal_above_opening_in"] == "not_here"
    flagged = {one["question"] for one in assess(whole).as_json()["flags"]}
    assert "wall_terminal_above_opening_in" not in flagged


@pytest.mark.parametrize(
    ("figure", "answers"),
    [
        ("breaker_max_a", {"heater_kind": "electric_storage", "input_kw": "4.5", "volts": 240}),
        ("vent_area_ratio", {"heater_kind": "gas_storage", "draft_kind": "draft_hood", "vent_kind": "none", "draft_hood_outlet_in": 3}),
        ("connector_length_allowed_ft", {"heater_kind": "gas_storage", "draft_kind": "draft_hood", "connector_kind": "type_b", "vent_end": "wall"}),
    ],
)  # fmt: skip
def test_a_figure_never_asks_for_what_is_answered_or_not_asked(figure: str, answers: dict[str, Any]) -> None:
    """Without a value and with nothing to wait for it would stand in the report as a dead end."""
    assert figure not in assess({"place": "model_irc_2021", **answers}).as_json()["figures"]
