"""A finding's link leads to the question that its fix is about, which the job asks; no entity is escaped twice."""

from __future__ import annotations

import random
import re
from functools import cache
from typing import Any

import pytest

from heaterapp.filling.judging import judged
from heaterapp.filling.mended_at import ABOUT, place_of
from heaterapp.filling.review import follows_html, review_html
from heaterapp.filling.standing import where_it_stands
from heaterapp.filling.ways import sections_of
from heaterapp.rules import CATALOGUE, SECTIONS, Job
from heaterapp.rules.catalog import all_checks
from heaterapp.sheet import live as sheet
from tests import random_jobs

LINK = re.compile(r'href="#([a-z]+)(?:/q-(\w+))?" data-go="([a-z]+)"(?: data-question="(\w+)")?')
TWICE = re.compile(r"&amp;(?:#\w+|[a-z]+);")
JOBS = 24


@cache
def _shown(seed: int) -> tuple[dict[str, Any], dict[str, Any], str]:
    """A random job's report, what the sheet tells of it, and its review."""
    answers = random_jobs._near_a_whole_job(random.Random(f"links {seed}"))
    read = Job(answers)
    report = judged(answers, read)
    now = sheet.live(answers, report, (), read)
    stands = where_it_stands(answers, report, now)
    html = review_html(answers, report, now, sections_of(now["asked"]), stands) + follows_html(stands)
    return report, now, html


def test_every_link_of_a_review_leads_to_a_question_that_the_job_asks() -> None:
    led = 0
    for seed in range(JOBS):
        report, now, html = _shown(seed)
        flagged = {flag["question"] for flag in report["flags"]}
        for section, name, go, question in LINK.findall(html):
            assert (section, name) == (go, question)
            assert section in SECTIONS
            if name and name not in flagged:
                assert (now["asked"][name], CATALOGUE[name].section) == (True, section), (seed, name)
                led += 1
    assert led > JOBS


def test_nothing_in_a_review_is_escaped_twice() -> None:
    pages = [_shown(seed)[2] for seed in range(JOBS)]
    assert any("&#x27;" in page for page in pages)
    assert [found for page in pages for found in TWICE.findall(page)] == []


@pytest.mark.parametrize(
    ("check", "question"),
    [
        ("air.enough_air", "air_source"), ("expansion.peak_as_set", "precharge_psi"),
        ("supply.prv_where_needed", "prv_fitted"), ("seismic.strap_material", "strap_kind"),
        ("relief.end_height", "relief_end_height_in"),
    ],
)  # fmt: skip
def test_a_finding_s_link_leads_to_what_its_fix_is_about(check: str, question: str) -> None:
    one = next(one for one in all_checks() if one.name == check)
    finding = {"check": check, "topic": check.partition(".")[0], "questions": one.questions}
    everything = dict.fromkeys(CATALOGUE, True)
    assert place_of(finding, everything) == (CATALOGUE[question].section, question)
    assert place_of(finding, everything | {question: False})[1] != question
    assert place_of(finding, {})[1] == ""


def test_what_a_check_is_about_is_among_what_it_rests_on() -> None:
    known = {one.name: one.questions for one in all_checks()}
    assert [check for check, names in ABOUT.items() if not set(names) & set(known.get(check, ()))] == []
