"""What is printed of odd numbers: each quantity one way, and a working that comes to it.

The long form, on as many jobs as asked: python tests/odd_numbers.py
"""

from __future__ import annotations

from decimal import Decimal
from typing import Any

import pytest

from heaterapp.rules.catalog import figure_contracts
from heaterapp.rules.figure import as_printed
from heaterapp.rules.redone import Given, NotRedone, as_redone
from heaterapp.rules.units import against_least, against_most, clear_of, plain_down, plain_up, tape_least
from heaterapp.sheet.bounds import found_words, in_print
from tests import alone, odd_numbers
from tests.grids import WHOLE
from tests.rules import test_pocket_calculator as calculator

SHORT, LONG = 30, 1000


@pytest.mark.parametrize("first", range(0, LONG if WHOLE else SHORT, SHORT))
def test_a_job_of_odd_numbers_prints_each_quantity_once(first: int) -> None:
    jobs = [odd_numbers.disturbed(number) for number in range(first, first + SHORT)]
    assert [fault for answers in jobs for fault in odd_numbers.faults(answers)] == []


def test_a_ratio_that_two_findings_have_in_two_ways_is_told() -> None:
    figures = {"vent_area_ratio": {"value": "5.45", "unit": "ratio"}}
    told = [
        {"check": f"venting.{check}", "unit": "ratio", "found": found}
        for check, found in (("capacity", "5.444"), ("not_oversized", "5.445"))
    ]
    assert len(list(odd_numbers.found_twice(told, figures))) == 1
    assert list(odd_numbers.found_twice(told[:1], figures)) == []


def _of(job: str, **more: Any) -> dict[str, Any]:
    answers = {**odd_numbers.answers_of(job), **more}
    return {name: told for name, told in answers.items() if told is not None}


def test_a_load_in_words_alone_is_told_as_its_figure() -> None:
    answers = _of("gas_storage_struts_us_ca", strut_diameter_in=None, strut_angle_deg="43")
    load = alone.figures_of(answers)["strut_force_lb"]["value"]
    (finding,) = alone.findings_of(answers, "seismic.sideways_restraint")
    assert (load, finding.why) == ("142.6", "Struts hold along the wall, up to 142.6 lb in each.")


@pytest.mark.parametrize(("outlet", "wide", "times"), [("3", "7", "5.45"), ("5", "4", "0.64")])
def test_an_area_s_ratio_is_one_number_in_every_finding(outlet: str, wide: str, times: str) -> None:
    answers = _of(
        "gas_storage_upc_2021", vent_sizing_method="area", draft_hood_outlet_in=outlet, vent_diameter_in=wide
    )
    assert alone.figures_of(answers)["vent_area_ratio"]["value"] == times
    two = alone.findings_of(answers, "venting.capacity", "venting.not_oversized")
    assert [f" {times} times" in one.why for one in two] == [True, True]
    assert len({one.found for one in two}) == 1


@pytest.mark.parametrize(
    ("job", "figure", "answers", "value", "worked"),
    [
        ("gas_storage_us_ca", "strap_controls_clearance_in", {"strap_width_in": "1 1/16"}, "5.46",
         "(36 - 1.0625/2) - 30 = 5.46 in, rounded down"),
        ("gas_storage_upc_2021", "connector_rise_needed_in", {"connector_length_ft": "1.11"}, "0.28", "0.25 x 1.11 = 0.28 in, rounded up"),
        ("gas_storage_us_ca", "precharge_target_psi", {"house_pressure_psi": "38.052"}, "38.052", "house pressure, measured: 38.052 psi"),
        ("heat_pump_upc_2021", "circuit_needed_a", {"minimum_circuit_a": "58.136"}, "58.14", "data plate: 58.14 A, rounded up"),
        ("heat_pump_upc_2021", "breaker_max_a", {"breaker_marked_max_a": "45.026"}, "45.02", "marked on the plate: 45.02 A, rounded down"),
        ("heat_pump_upc_2021", "breaker_max_a", {"breaker_marked_max_a": "45"}, "45", "marked on the plate: 45 A"),
    ],
)  # fmt: skip
def test_a_working_ends_as_its_figure_prints(
    job: str, figure: str, answers: dict[str, str], value: str, worked: str
) -> None:
    one = alone.figures_of(_of(job, **answers))[figure]
    assert (one["value"], one["worked"]) == (value, worked)


def test_an_air_charge_is_one_number_for_the_rule_and_for_the_advice() -> None:
    answers = _of("gas_storage_us_ca", precharge_psi="57.12345", house_pressure_psi="60")
    two = alone.findings_of(answers, "expansion.precharge_matches_house")
    assert [(one.kind, one.found) for one in two] == [("rule", "57.123"), ("advice", "57.123")]


def test_both_straps_shares_are_what_a_calculator_gives() -> None:
    one = alone.figures_of(_of("gas_storage_us_ca", dry_weight_lb="110"))["strap_reactions_lb"]
    assert one["value"] == ["97.0", "50.9"]
    assert [part.rpartition(" = ")[2] for part in one["worked"].split("; ")] == [
        "50.9 lb upper",
        "97 lb lower, rounded up",
    ]
    assert calculator.wrong(one["worked"]) == (2, [])


def test_a_rating_of_a_plate_keeps_its_hundredths() -> None:
    rule = figure_contracts()["breaker_max_a"][0]
    assert [as_printed(Decimal(one), rule) for one in ("45", "22.5", "45.026")] == [
        "45",
        "22.50",
        "45.02",
    ]
    assert clear_of(Decimal("45.7"), Decimal(45), places=0, down=True) == "45.7"
    assert clear_of(Decimal("45.7"), Decimal(30), places=0, down=True) == "45"


def test_two_equal_numbers_are_written_alike_and_neither_under_itself() -> None:
    assert against_most(Decimal("80.05"), Decimal("80.05"), 1) == ("80.05", "80.05")
    assert against_least(Decimal("2.65"), Decimal("2.65"), 1) == ("2.65", "2.65")
    assert against_most(Decimal(80), Decimal(80), 1) == ("80", "80")
    third = Decimal(1) / 3
    assert against_most(third, third, 1) == ("0.334", "0.334")
    assert against_least(third, third, 1) == ("0.333", "0.333")
    assert tape_least(Decimal("14.0625"), Decimal("14.0625")) == ("14 1/16", "14 1/16")
    assert in_print("80.05", "80.05", "psi", "at most") == ("80.05 psi", "80.05 psi")


def test_a_length_that_is_asked_stands_beside_its_sentence_as_it_does_in_it() -> None:
    told = {
        "check": "venting.connector_slope", "verdict": "fails", "unit": "in", "found": "0.25", "limit": "0.521",
        "why": "Rises 1/4 in over 2.083 ft, 0.53 in asked.",
    }  # fmt: skip
    assert found_words(told) == ("1/4 in", "0.53 in")
    told |= {"found": "1.5", "limit": "1.501", "why": "Rises 1 1/2 in over 6 ft, 1.51 in asked."}
    assert found_words(told) == ("1 1/2 in", "1.51 in")


def test_numbers_that_come_to_nothing_are_never_passed_over() -> None:
    with pytest.warns(NotRedone, match="do not come to 9"):
        as_redone(lambda one: plain_up(one), "9", Given(Decimal("1.5"), 1))


def test_a_result_that_is_just_a_round_number_comes_of_numbers_with_no_end() -> None:
    third = Given(Decimal(1) / 3, 3, plain_up)
    (told,) = as_redone(lambda one: plain_up(3 * one, 0), "1", third)
    assert plain_up(3 * Decimal(told), 0) == "1"
    assert plain_down(3 * Decimal(told), 3) == "0.999"


def test_a_quantity_that_comes_twice_in_a_working_is_one_number() -> None:
    charge = Given(Decimal("60.6504"), 1)
    again, other, air = as_redone(lambda c, s, a: plain_up((c + s) * 10 + a, 1), "1,227.7", charge, charge, Given(Decimal("14.6324"), 3))
    assert (again, other, air) == ("60.65", "60.65", "14.6324")
