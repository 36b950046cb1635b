"""The form of a correction: what is put right most often stands open, all else in folds that open where they are wanted."""

from __future__ import annotations

from typing import Any

from bs4 import BeautifulSoup, Tag

from heaterapp.rules import CATALOGUE
from heaterapp.web.correct_form import OFTEN


def fold(page: BeautifulSoup, name: str) -> Tag | None:
    """The fold of a section that this question stands in."""
    return page.find(id=f"q-{name}").find_parent("details", class_="folded")


def opened(page: BeautifulSoup) -> list[str]:
    return [one.summary.find(string=True).strip() for one in page.select("details.folded[open]")]


def test_what_is_corrected_most_stands_first_and_folds_open_by_error_and_by_change(visit: Any, issue: Any) -> None:
    path, clerk = f"/office/records/{issue().number}/correct", visit("office")
    page = BeautifulSoup(clerk.get(path).text, "html.parser")
    shown = [one["data-q"] for one in page.select("form [data-q]")]
    often = [name for name in OFTEN if name in shown]
    assert shown[: len(often)] == often
    assert {"address_street", "owner_name", "permit_number", "contractor_licence", "heater_serial"} < set(often)
    assert all(fold(page, name) is None for name in often)
    assert len(shown) == len(set(shown)) > 90
    assert {CATALOGUE[name].section for name in shown if name not in OFTEN} > {"job", "plate", "water"}
    assert opened(page) == []

    wrong = clerk.post(path, {"house_pressure_psi": "-5", "owner_name": "Dana Whitlok"})
    page = BeautifulSoup(wrong.text, "html.parser")
    assert wrong.status_code == 422
    assert page.select_one(".error-summary a")["href"] == "#q-house_pressure_psi"
    assert fold(page, "house_pressure_psi").has_attr("open")
    assert len(opened(page)) == 1
    assert page.find(id="q-house_pressure_psi")["value"] == "-5"
    assert page.find(id="q-owner_name")["value"] == "Dana Whitlok"

    told = clerk.post(path, {"house_pressure_psi": "62", "job_ref": "PL-0009"})
    page = BeautifulSoup(told.text, "html.parser")
    assert "It has to be signed anew." in told.text
    assert fold(page, "house_pressure_psi").has_attr("open")
    assert fold(page, "job_ref").has_attr("open")
    assert len(opened(page)) == 2
