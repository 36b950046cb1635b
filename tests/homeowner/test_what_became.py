"""What a paper says of things left on it, once another stands in its place, or once nothing of it is open."""

from __future__ import annotations

import json
from typing import Any

import pytest

from heaterapp.homeowner import LANGUAGES
from tests.homeowner.passing import NOT_ONE, passing_words
from tests.homeowner.plain_text import as_text
from tests.homeowner.records import of_job, page, record

STILL = (
    "still",
    "Todavía",
    "are listed below",
    "Están en la lista",
    "Then ask for a new paper",
    "Después pida",
)
FOLLOWED = {
    "certificate": {"state": "replaced", "present_number": "C-000009", "present_kind": "certificate"},
    "another list": {"state": "replaced", "present_number": "L-000009", "present_kind": "correction_list"},
    "void": {"state": "void"},
    "void and followed": {"state": "void", "present_number": "C-000009", "present_kind": "certificate"},
}


def said(told: Any) -> str:
    return " ".join((*told.notices, told.whom_to_ask, told.still_title, *(one.heading for one in told.still)))


@pytest.mark.parametrize("case", FOLLOWED)
def test_a_list_that_holds_no_more_asks_for_nothing_and_says_where_the_new_one_is(case: str) -> None:
    standing = FOLLOWED[case]
    for language in LANGUAGES:
        told = page(of_job("gas_storage_to_fix"), language, **standing)
        now = page(of_job("gas_storage_to_fix"), language)
        assert (told.still, told.whom_to_ask) == ((), "")
        assert now.still
        assert now.whom_to_ask
        text = " ".join(told.notices)
        assert not any(words in text for words in STILL), text
        assert any(words in said(now) for words in STILL)
        assert NOT_ONE.search(text)
        assert not passing_words(as_text(told))
        assert standing.get("present_number", "") in told.notices[0]
    if case == "another list":
        assert (
            "a list of what is to be put right, is the newest one"
            in page(of_job("gas_storage_to_fix"), **standing).notices[0]
        )


def test_where_no_paper_stands_the_list_is_told_as_it_was() -> None:
    for language, then, headings in (
        ("en", "What was open then", ["These were to be fixed then:"]),
        ("es", "Lo que entonces estaba pendiente", ["Entonces había que arreglar esto:"]),
    ):
        told = page(of_job("gas_storage_to_fix"), language, state="replaced")
        assert told.still_title == then
        assert [one.heading for one in told.still][:1] == headings
        assert told.whom_to_ask == ""
        assert not any(words in said(told) for words in STILL)


def test_nothing_is_called_open_where_all_was_accepted() -> None:
    job, word = "electric_storage_us_ca", {"by": "A. Brand", "on": "2026-01-02", "why": "seen"}
    left_open = [
        one["check"]
        for one in json.loads(of_job(job).report)["findings"]
        if one["verdict"] in ("fails", "authority")
    ]
    some, all_of_it = (
        record(job, acceptances=dict.fromkeys(names, word)) for names in (left_open[:1], left_open)
    )
    for language, accepted, left in (
        ("en", "What was accepted", "What is still open"),
        ("es", "Lo que se aceptó", "Lo que queda pendiente"),
    ):
        told = page(all_of_it, language)
        assert sum(len(one.rules) for one in told.still) == 2
        assert told.still_title == accepted
        assert page(all_of_it, language, state="replaced").still_title == accepted
        assert page(some, language).still_title == left
