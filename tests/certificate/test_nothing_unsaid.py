"""Every check that was made is told on the paper, whatever came of it: random jobs, every finding by its name."""

from __future__ import annotations

import html
import random
import re
from collections import Counter
from itertools import chain
from typing import Any

import pytest

from heaterapp.certificate.content import paper_of
from heaterapp.certificate.filed import Filed
from heaterapp.certificate.findings import name_of
from heaterapp.certificate.press import html_of
from heaterapp.rules import Job, assess, canonical_bytes
from tests import random_jobs

JOBS = 12


def _printed(paper: Any) -> Counter[str]:
    roomy = (paper.fixes, paper.opens, paper.excepted, paper.unanswered, paper.advice, paper.silent)
    checks = chain(*roomy, *(topic.checks for topic in paper.met))
    briefly = chain.from_iterable(names.split(", ") for _, names in (*paper.not_here, *paper.not_answered))
    return Counter(name.casefold() for name in chain((one.name for one in checks), briefly))


@pytest.mark.parametrize("at", range(JOBS))
def test_each_finding_of_a_report_is_printed_by_its_name(at: int, record_of: Any) -> None:
    dice = random.Random(f"nothing unsaid {at}")
    answers = random_jobs._near_a_whole_job(dice)
    report = assess(answers)
    kind = "certificate" if report.outcome == "ready" else "correction_list"
    record = type(record_of())(canonical_bytes(Job(answers).canonical()), report.to_bytes(), kind)
    paper = paper_of(Filed.of(record))
    names = Counter(name_of(one).casefold() for one in report.as_json()["findings"])
    assert _printed(paper) == names
    said = re.sub(r"\s+", " ", html.unescape(re.sub(r"<[^>]+>", " ", html_of(paper)))).casefold()
    for one in report.findings:
        assert name_of(one.as_json()).casefold() in said, one.check
        assert one.verdict != "unanswered" or one.kind == "rule" or "not answered, good practice" in said


@pytest.mark.parametrize("fitted", ["yes", "unknown"])
@pytest.mark.parametrize("tap", ["138", "118"])
def test_hot_water_whose_guard_is_not_known_is_told_and_no_certificate(
    fitted: str, tap: str, record_of: Any, answers_of: Any
) -> None:
    told = {"thermostat_f": "140", "mixing_valve_fitted": fitted, "outlet_temperature_f": tap}
    answers = {key: one for key, one in answers_of("electric_storage_irc").items() if key != "mixed_outlet_f"}
    report = assess({**answers, **told})
    assert report.outcome == "unfinished"
    made = type(record_of())(b"{}", report.to_bytes(), "correction_list")
    paper = paper_of(Filed.of(made))
    assert "Scald guard" in {one.name for one in paper.unanswered}
    assert ("Scald guard" in {one.name for one in paper.advice}) == (tap == "138")
