"""The review tells one story: what is open, in the form's order, each with its way; the phone's and the server's alike."""

from __future__ import annotations

import json
import re
from collections.abc import Callable
from typing import Any

import pytest
from bs4 import BeautifulSoup

from heaterapp.filling import door
from heaterapp.rules import CATALOGUE, SECTIONS
from heaterapp.rules.questions import ORDER

from .conftest import job_answers

WHOLE = job_answers("gas_storage_us_ca")
FAILING = job_answers("gas_storage_to_fix")
ONE_FAIL = {**WHOLE, "storage_gal": "50", "house_pressure_psi": "95"}
FIRST_SECTION = {
    name: held for name, held in WHOLE.items() if name in CATALOGUE and CATALOGUE[name].section == "job"
}
AFTER_ALL = "It can be signed once all of this is answered."
AS_IT_STANDS = "can be signed as it stands"

FORM = list(SECTIONS)


def but(answers: dict[str, Any], *names: str) -> dict[str, Any]:
    return {name: held for name, held in answers.items() if name not in names}


START = {name: WHOLE[name] for name in ("place", "heater_kind", "job_kind")}
STORIES = {
    "nothing answered": (START, "Something to answer.", AFTER_ALL, ""),
    "no place": ({}, "Something to answer.", AFTER_ALL, ""),
    "one section": (FIRST_SECTION, "Something to answer.", AFTER_ALL, ""),
    "all but the serial": (
        but(WHOLE, "heater_serial"), "Something to answer.", "Before it can be signed, answer: Serial number.", "",
    ),
    "one fail": (ONE_FAIL, "Something to fix, all is answered.", "", "Sign a correction list"),
    "one fail, no serial": (
        but(ONE_FAIL, "heater_serial"), "Something to fix, something to answer.",
        "Before it can be signed, answer: Serial number.", "",
    ),
    "a fail and something open": (
        but(FAILING, "thermostat_f"), "Something to fix, something to answer.",
        "A correction list can be signed as it stands", "Sign a correction list",
    ),
    "a day to come": (
        {**WHOLE, "work_date": "2099-01-01"}, "Something to mend before it can be signed.", "", "",
    ),
    "ready": (WHOLE, "Nothing to fix, nothing to answer.", "", "Sign the certificate"),
}  # fmt: skip


def told(page: BeautifulSoup) -> dict[str, Any]:
    """What the parts of a review say, and where its lines lead."""
    lines = {
        part: page.select(f'[aria-labelledby="{part}"] :is(.lines li, .act) > a')
        for part in ("fix", "answer", "before")
    }
    ways = {part: [re.split("#q-|/q-", one["href"])[-1] for one in found] for part, found in lines.items()}
    return ways | {"open": ways["answer"] + ways["before"]}


def words(node: Any) -> str:
    return " ".join(node.get_text().split()) if node else ""


@pytest.mark.parametrize("name", STORIES)
def test_one_story_on_both_pages(visit: Callable[..., Any], store: Any, people: Any, name: str) -> None:
    answers, lead, follows, signs = STORIES[name]
    me = people["a", "installer"]
    job = store.jobs.create(me.organisation, me.id, answers)
    page = BeautifulSoup(visit("installer").get(f"/jobs/{job.id}/review").text, "html.parser")
    phone = json.loads(door.call(json.dumps({"do": "review", "answers": answers})))
    here, there = told(page), told(BeautifulSoup(phone["html"], "html.parser"))
    assert here == there
    assert words(page.select_one(".lead")) == f"{phone['outcome_words']}." == lead
    notices = [words(one) for one in page.select("main .two .notice")]
    assert [one for one in notices if one.startswith(follows)] == notices[: bool(follows)] == notices
    assert words(BeautifulSoup(phone["follows"], "html.parser")) == "".join(notices)
    signing = [words(one) for one in page.select("main a.button.main")]
    assert ("".join(signing), phone["signable"]) == (signs, bool(signs))
    # What is counted is what is listed, in the order of the form.
    counted = {
        word: int(count)
        for count, word in re.findall(r"(\d+) (fix|to answer)", words(page.select_one(".strip-counts")))
    }
    assert counted == {"fix": phone["counts"]["fix"], "to answer": len(here["answer"])}
    assert (len(here["fix"]) > 0, len(here["answer"]) > 0) == (counted["fix"] > 0, counted["to answer"] > 0)
    for part in ("fix", "answer"):
        assert here[part] == sorted(
            here[part], key=lambda one: (FORM.index(CATALOGUE[one].section), ORDER[one])
        ), part
    assert not (here["fix"] or here["open"]) or "Nothing to fix, nothing" not in words(page.main)


def test_a_way_leads_to_that_very_question(visit: Callable[..., Any], store: Any, people: Any) -> None:
    me, visitor = people["a", "installer"], visit("installer")
    job = store.jobs.create(me.organisation, me.id, but(FAILING, "thermostat_f", "heater_serial"))
    page = BeautifulSoup(visitor.get(f"/jobs/{job.id}/review").text, "html.parser")
    ways = {one["href"] for one in page.select("main .two a[href*='#q-']")}
    assert len(ways) > 3
    sections = {way.partition("#")[0] for way in ways}
    shown = {path: BeautifulSoup(visitor.get(path).text, "html.parser") for path in sections}
    lost = [way for way in ways if not shown[way.partition("#")[0]].select(f'[id="{way.partition("#")[2]}"]')]
    folded = [
        way
        for way in ways
        if shown[way.partition("#")[0]].select(f'[data-q][hidden] [id="{way.partition("#")[2]}"]')
    ]
    assert (lost, folded) == ([], [])
    assert f"/jobs/{job.id}/plate#q-heater_serial" in ways
