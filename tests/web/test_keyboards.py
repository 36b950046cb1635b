"""Every box of every question calls the keyboard that its answer needs, and lets a person type whatever they read.

inputmode numeric for whole numbers, decimal for the rest, never type=number: design-system guidance on text
inputs (GOV.UK Design System, component "text-input", read 2026-08-06). No autofill where the person asked about is
not the one who types: WCAG 2.2, 1.3.5, is about the user's own data.
"""

from __future__ import annotations

from typing import Any

import pytest
from bs4 import BeautifulSoup

from heaterapp.filling.typed import questions_of
from heaterapp.rules import SECTIONS

CODES = {
    "heater_serial", "heater_model", "permit_number", "job_ref", "address_unit", "address_state",
    "installer_licence", "contractor_licence",
}  # fmt: skip
NAMES = {"owner_name", "installer_name", "contractor_name", "heater_maker", "address_street", "address_city"}


def _boxes(page: BeautifulSoup, name: str) -> list[Any]:
    box = page.find(attrs={"data-q": name})
    return list(box.find_all("input", attrs={"name": lambda n: n and n.split("-")[0] == name}))


@pytest.mark.parametrize("section", list(SECTIONS))
def test_each_box_calls_its_keyboard(visit: Any, section: str) -> None:
    visitor = visit("installer")
    page = BeautifulSoup(visitor.get(f"/jobs/{visitor.begin()}/{section}").text, "html.parser")
    looked = 0
    for question in questions_of(section):
        typed = [one for one in _boxes(page, question.name) if one["type"] not in ("radio", "date")]
        for one in typed:
            looked += 1
            assert one["type"] == "text", one
            assert one["autocomplete"] == "off", one
            assert one["enterkeyhint"] == "next", one
            assert not one.has_attr("maxlength"), one
            if one["name"].endswith("-why"):
                continue
            if question.kind == "text":
                assert one["inputmode"] == ("numeric" if question.name == "address_zip" else "text"), one
                wanted = (
                    "characters"
                    if question.name in CODES
                    else "words"
                    if question.name in NAMES
                    else "sentences"
                )
                assert one["autocapitalize"] == wanted, one
                if wanted != "sentences":
                    assert (one["autocorrect"], one["spellcheck"]) == ("off", "false"), one
                continue
            below = question.hard is not None and question.hard[0] < 0
            assert one["inputmode"] == ("numeric" if question.whole else "text" if below else "decimal"), one
            assert (one["autocorrect"], one["spellcheck"], one["autocapitalize"]) == (
                "off",
                "false",
                "off",
            ), one
    assert looked or section == "old"


def test_no_page_of_a_job_has_a_number_box_or_fills_itself(visit: Any) -> None:
    visitor = visit("installer")
    for path in ("/jobs/new", *(f"/jobs/{visitor.begin()}/{section}" for section in SECTIONS)):
        for one in BeautifulSoup(visitor.get(path).text, "html.parser").find_all("input"):
            assert one.get("type") != "number", one
            if one.get("type") in ("text", "tel", "email", "search"):
                assert one["autocomplete"] == "off", one
