"""What is left to answer: the number that is said is the number of fields a person finds."""

from __future__ import annotations

import json
from pathlib import Path
from typing import Any

import pytest
from bs4 import BeautifulSoup

from heaterapp.rules import CATALOGUE, SECTIONS, Job, assess
from heaterapp.sheet.live import ALWAYS_SHOWN, _deciding, live, needed

JOBS = Path(__file__).parent / "jobs"
GAS: dict[str, Any] = {"heater_kind": "gas_storage", "job_kind": "same_place", "place": "model_upc_2024"}


def _text(html: str) -> str:
    return BeautifulSoup(html, "html.parser").get_text()


def _job(name: str) -> dict[str, Any]:
    return Job(json.loads((JOBS / name).read_text(encoding="utf-8"))["answers"]).canonical()


def _live(answers: dict[str, Any]) -> dict[str, Any]:
    return live(answers, assess(answers).as_json())


@pytest.mark.parametrize("kind", list(CATALOGUE["heater_kind"].choices))
def test_every_needed_question_leads_to_one_that_is_asked(kind: str) -> None:
    answers = {**GAS, "heater_kind": kind}
    report = assess(answers).as_json()
    told = live(answers, report)
    for name in needed(report):
        leads = set(told["todo"]) & {name, *_deciding(name)}
        assert leads, f"{name} leads to nothing that is asked"
    _count_is_what_is_seen(answers, told)


def _count_is_what_is_seen(answers: dict[str, Any], told: dict[str, Any]) -> None:
    assert told["counts"]["answer"] == len(told["todo"]) == len(set(told["todo"]))
    for name in told["todo"]:
        assert told["asked"][name], f"{name} is counted, and not asked"
        assert name not in told["spare"], f"{name} is counted, and folded away"
    by_section = {s: sum(CATALOGUE[n].section == s for n in told["todo"]) for s in SECTIONS}
    for section, count in by_section.items():
        if count == 0:
            continue
        tally_said = _text(told["tallies"][section])
        assert f"{count} to answer" in tally_said or "to fix" in tally_said, (section, tally_said)
        assert f"{count} to answer here" in _text(told["sections"][section])
    # What is in view, empty and not counted is for the record, or has a default that is measured.
    blank = [n for n, asked in told["asked"].items() if asked and n not in told["spare"] and n not in answers]
    for name in set(blank) - set(told["todo"]):
        assert CATALOGUE[name].record or CATALOGUE[name].default is not None or name in ALWAYS_SHOWN, name


@pytest.mark.parametrize("name", sorted(p.name for p in JOBS.glob("*.json")))
def test_what_is_left_to_answer_is_what_stands_in_the_sections(name: str) -> None:
    whole = _job(name)
    told = _live(whole)
    _count_is_what_is_seen(whole, told)
    assert told["counts"]["answer"] > 0 or told["outcome"] != "unfinished"
    assert told["counts"]["answer"] == 0 or told["outcome"] != "ready"
    for drop in range(3):
        kept = {"place", "heater_kind", "job_kind"}
        part = {k: v for at, (k, v) in enumerate(whole.items()) if at % 3 != drop or k in kept}
        told = _live(part)
        assert told["counts"]["answer"] > 0
        _count_is_what_is_seen(part, told)
