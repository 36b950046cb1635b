"""One record, told alike wherever it is told: on the paper, its translation and the homeowner's page."""

from __future__ import annotations

import json
import re
from collections.abc import Iterator
from dataclasses import replace
from functools import cache

import pytest

from heaterapp import homeowner
from heaterapp.certificate.content import paper_of
from heaterapp.certificate.filed import Filed
from heaterapp.certificate.paper import Check, Paper
from heaterapp.certificate.translated import Translated, translated_paper
from heaterapp.homeowner.standing import STOP
from heaterapp.homeowner.still import NOT_CHECKED, TO_DECIDE, TO_FIX
from tests.homeowner import records

from .conftest import Record

NUMBER = re.compile(r"\d+(?:[.,/]\d+)*")
BANDS = {"Lower strap, from the floor": "Lower", "Upper strap, from the floor": "Upper"}
SPOKEN = ("gas_storage_us_ca", "gas_storage_to_fix", "heat_pump_irc_2021", "electric_tankless_irc_2021")


@cache
def filed_of(name: str) -> Filed:
    """A whole job as a paper is made of it."""
    made = records.of_job(name)
    return Filed.of(Record(made.job, made.report, made.kind))


def page_of(filed: Filed) -> homeowner.Page:
    """The homeowner's page of the same record."""
    made = records.of_job("gas_storage_us_ca")
    made = type(made)(**{**vars(made), "kind": filed.kind, "job": filed.job, "report": filed.report})
    return records.page(made)


def checks_of(paper: Paper) -> Iterator[Check]:
    """Every finding of a paper, in its order."""
    yield from (*paper.fixes, *paper.unanswered, *paper.opens, *paper.excepted, *paper.advice, *paper.silent)
    for topic in paper.met:
        yield from topic.checks


@pytest.mark.parametrize("name", records.NAMES)
def test_paper_and_page_say_the_same_of_what_is_open_and_of_what_may_hurt(name: str) -> None:
    paper, page = paper_of(filed_of(name)), page_of(filed_of(name))
    assert bool(paper.stop) == (STOP.of("en") in page.notices)
    leads, box = dict(paper.every_caution), " ".join(when for when, _ in page.emergencies)
    for lead, when in (("Smell gas?", "smell gas"), ("CO alarm, or anyone feels sick?", "carbon monoxide alarm")):
        assert (lead in leads) == (when in box), lead
    headed = {one.heading for one in page.still}
    assert bool(paper.fixes) == (TO_FIX.of("en") in headed)
    assert bool(paper.unanswered) <= (NOT_CHECKED.of("en") in headed)
    left = {one.verdict for one in paper.opens if not one.accepted}
    assert ("authority" in left) == (TO_DECIDE.of("en") in headed)


@pytest.mark.parametrize("name", records.NAMES)
def test_a_band_of_heights_is_one_in_figures_drawing_and_what_to_do(name: str) -> None:
    paper = paper_of(filed_of(name))
    assert name != "gas_storage_us_ca" or BANDS.keys() <= {one.label for one in paper.figures}
    drawn = " ".join(sentence for one in paper.drawings for sentence in one.sentences).replace("\xa0", " ")
    for one in paper.figures:
        if one.label in BANDS and one.unit:
            assert not re.search(r"\d\.\d", one.value), "no tape shows it"
            if f"{BANDS[one.label]} strap between" in drawn:
                between = one.value.replace(" to ", " and ")
                assert f"{BANDS[one.label]} strap between {between} in from the floor" in drawn


@pytest.mark.parametrize("name", SPOKEN)
def test_every_finding_and_figure_has_its_own_numbers_in_the_translation(name: str) -> None:
    english, spanish = paper_of(filed_of(name)), translated_paper(Translated(filed_of(name), "es"))
    told = [
        [[NUMBER.findall(text) for text in (one.found, one.limit, one.cite, one.fix)] for one in checks_of(paper)]
        for paper in (english, spanish)
    ]
    assert told[0] == told[1]
    assert len(told[0]) > 30
    worked = [[(NUMBER.findall(f"{one.value} {one.worked}"), one.unit.strip()) for one in paper.figures] for paper in (english, spanish)]
    assert [one[0] for one in worked[0]] == [one[0] for one in worked[1]]


def test_of_a_heater_that_nobody_named_every_caution_is_said() -> None:
    made = records.record("gas_storage_existing_us_ca", heater_kind=None)
    leads = dict(paper_of(Filed.of(Record(made.job, made.report, made.kind))).every_caution)
    assert {"Smell gas?", "CO alarm, or anyone feels sick?", "Hot water burns.", "Relief valve:", "Electricity:"} <= set(leads)


def test_an_older_report_is_told_whole_on_the_page_as_on_the_paper() -> None:
    filed = filed_of("gas_storage_us_ca")
    report = json.loads(filed.report)
    rules = [one for one in report["findings"] if one["kind"] == "rule" and one["verdict"] == "meets"]
    for one in rules[:3]:
        del one["kind"]
    rules[0]["verdict"] = "of_another_day"
    del rules[1]["verdict"]
    older = replace(filed, report=json.dumps(report).encode(), kind="correction_list")
    paper, page = paper_of(older), page_of(older)
    broken = [one for one in (*paper.fixes, *paper.unanswered, *paper.opens) if one.verdict == "error"]
    assert len(broken) == 2
    unchecked = next(one for one in page.still if one.heading == NOT_CHECKED.of("en"))
    assert len(unchecked.rules) == 2
