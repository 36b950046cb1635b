"""Formulas by their figures, what was typed as it was typed, and numbers and days told one way."""

from __future__ import annotations

import json
import re
from pathlib import Path
from typing import Any

import pytest

from heaterapp.certificate.content import paper_of
from heaterapp.certificate.filed import Filed
from heaterapp.certificate.parties import parties_of
from heaterapp.homeowner.said import number_of
from heaterapp.languages import speaking, told
from heaterapp.rules import assess
from heaterapp.rules.catalog import figure_contracts
from heaterapp.sheet.bounds import found_words, measure
from heaterapp.sheet.draw import straps_words
from heaterapp.sheet.findings import finding_html
from heaterapp.sheet.workings import FORMULAS, formula_words
from tests.certificate.specimens import of_job
from tests.homeowner.records import page, record

JOB = "gas_storage_us_ca"
ANSWERS: dict[str, Any] = json.loads((Path(__file__).parent / "jobs" / f"{JOB}.json").read_text("utf-8"))["answers"]
FORMULA = {name: rule.formula for name, (rule, _) in figure_contracts().items()}
SYMBOL = re.compile(r"(?<![\w/'°])(?:[b-wyzB-Z]|[A-Z]'|[A-Z][a-z]'?|[A-Z]{2,3}|Z'a)(?![\w'/])")
"""A letter or two that stand for a number."""
UNIT_LETTERS = {"F", "g"}


def finding(check: str, kind: str = "rule", **changes: Any) -> dict[str, Any]:
    found = assess({**ANSWERS, **changes}).as_json()["findings"]
    return next(one for one in found if one["check"] == check and one["kind"] == kind)


def test_formulas_in_words_are_those_that_figures_declare() -> None:
    assert set(FORMULAS) <= set(FORMULA.items())


def test_no_formula_is_read_with_a_bare_symbol() -> None:
    for name, formula in FORMULA.items():
        words = formula_words(name, formula)
        assert not set(SYMBOL.findall(words)) - UNIT_LETTERS, words


def test_a_bare_symbol_is_noticed() -> None:
    for text in ("W' = W CD t", "least of t w Fy / Sy", "P = A Fcr / S", "W = empty weight + w x gallons"):
        assert SYMBOL.search(text), text


def test_a_formula_of_earlier_rules_keeps_its_words() -> None:
    earlier = "W = empty weight + 8.33 x gallons"
    assert formula_words("operating_weight_lb", earlier) == earlier.replace(" x ", " × ")


@pytest.mark.parametrize("number", ["26 - 01902", "B26 x 12 F", "BP 2^2"])
def test_a_permit_s_number_keeps_its_signs(number: str) -> None:
    why = finding("paperwork.permit", permit_status="issued", permit_number=number)["why"]
    assert told("paperwork.permit", why) == f"Permit issued: {number}."
    with speaking("es"):
        assert told("paperwork.permit", why) == f"Permiso emitido: {number}."


def test_what_a_flag_quotes_keeps_its_signs() -> None:
    says = "“9599 - 1”: 5 digits, or 5 and 4, such as 95991 or 95991-0142 is expected. Kept as given."
    assert told("common", says) == says


def test_an_allowance_says_that_it_is_rounded_down() -> None:
    worked = assess(ANSWERS).as_json()["figures"]["lag_allowable_lb"]["worked"]
    assert worked == "225 x 1.6 x 1.8438 in = 663.7 lb, rounded down"
    with speaking("es"):
        assert told("figures", worked) == "225 × 1.6 × 1.8438 in = 663.7 lb, redondeado hacia abajo"
        assert told("figures", worked.partition(",")[0]) == "225 × 1.6 × 1.8438 in = 663.7 lb"


def test_an_acceptance_s_day_is_in_words_on_a_page() -> None:
    taken = {"by": "Inspector Vance", "on": "2026-11-24", "why": "seen"}
    failed = {**finding("relief.capacity"), "verdict": "fails", "accepted": taken}
    assert "Inspector Vance, 24 Nov 2026: seen" in finding_html(failed)


def test_a_found_reading_stands_as_its_sentence_has_it() -> None:
    changes = {"prv_fitted": "yes", "prv_setting_psi": "60", "house_pressure_psi": "62.043"}
    off = finding("supply.prv_holds_setting", "advice", **changes)
    assert "2.043 psi apart" in off["why"]
    assert found_words(off) == ("2.043 psi off", "5 psi")
    assert number_of("2.137", "gal") == "2.137"


def test_computed_ends_of_a_third_are_told_as_a_tape_shows_them() -> None:
    changes = {"strap_heights_in": ["28", "60"], "controls_top_in": "26.1", "tank_base_in": "5.333"}
    why = finding("seismic.lower_strap_in_lower_third", **changes)["why"]
    assert "the lower third ends 24 5/8 in" in why
    assert "begins at 30 7/8 in" in why


@pytest.mark.parametrize(("language", "line"), [
    ("en", "Serial number: not known, plate painted over"), ("es", "Número de serie: no se sabe, plate painted over"),
])  # fmt: skip
def test_what_nobody_could_read_is_told_by_its_name(language: str, line: str) -> None:
    filed = Filed.of(of_job(JOB))
    answers = {**filed.answers(), "heater_serial": {"could_not_measure": "plate painted over"}}
    with speaking(language):
        lines = [one for field in parties_of(answers, filed) for one in field.lines]
    assert line in lines
    assert not [one for one in lines if "could not be measured" in one]


def test_a_spanish_paper_says_its_own_title_and_its_units() -> None:
    filed = Filed.of(of_job(JOB))
    with speaking("es"):
        paper = paper_of(filed)
        assert (measure("28", "in2"), told("figures", "50 x 40,000 / 1000 = 2,000 cu ft")) == (
            "28 pulg²", "50 × 40,000 / 1000 = 2,000 pies³",
        )  # fmt: skip
    assert any("Práctica del oficio" in one for one in paper.codes)
    assert measure("28", "in2") == "28 sq in"


def test_heights_that_are_none_are_no_straps_everywhere() -> None:
    sentences = [one.sentence for one in page(record(JOB, strap_heights_in=[])).numbers]
    assert "The tank has no straps." in sentences
    assert "The tank is strapped." not in sentences
    assert "No straps recorded." in straps_words({**ANSWERS, "strap_heights_in": []}, {"findings": [], "figures": {}})


def test_the_measured_tap_stands_on_the_paper_beside_what_was_set() -> None:
    keys = {one.label: one.value for one in paper_of(Filed.of(of_job(JOB))).keys}
    assert keys["Set temperature, and at a tap"] == f"{ANSWERS['thermostat_f']}, {ANSWERS['outlet_temperature_f']}"
