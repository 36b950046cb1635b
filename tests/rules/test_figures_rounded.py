"""No need or load is printed below itself, and nothing that is allowed or there above: of every figure of the catalogue."""

from __future__ import annotations

import math
import re
from decimal import Decimal
from typing import Any

import pytest

from heaterapp.rules.catalog import figure_contracts
from heaterapp.rules.figure import as_printed
from heaterapp.rules.units import against_least, against_most
from heaterapp.sheet.bounds import in_print
from tests import alone
from tests.rules import test_pocket_calculator as calculator

NEED = re.compile(r"_needed_|_min_|_least_")
LOAD = re.compile(
    r"_force_|_reactions_|_tension_|_withdrawal_|_weight_|peak_pressure_|_used_|_expansion_gal|_amps|_input_at_|_counted_|_ratio"
)
ALLOWANCE = re.compile(r"_allowed_|_ampacity_|_max_|_capacity_|_allowable_")
THERE = re.compile(r"_there_|_clearance_")
BAND = re.compile(r"_band_")
ODD = Decimal("5.12345678")


@pytest.mark.parametrize("name", figure_contracts())
def test_a_need_is_rounded_up_and_an_allowance_down(name: str) -> None:
    rule = figure_contracts()[name][0]
    assert rule.up == bool(NEED.search(name) or LOAD.search(name))
    assert rule.down == bool(ALLOWANCE.search(name) or THERE.search(name))
    assert rule.band == bool(BAND.search(name))
    for value in (ODD, ODD + rule.step / 2):
        printed = Decimal(str(as_printed(value, rule)))
        assert abs(printed - value) < rule.step
        assert not rule.up or printed >= value
        assert not rule.down or printed <= value


def test_the_ends_of_a_band_go_inward_and_a_load_the_other_way_is_as_large() -> None:
    band, load = (figure_contracts()[name][0] for name in ("upper_strap_band_in", "strap_reactions_lb"))
    assert as_printed((Decimal("41.331"), Decimal("61.999")), band) == ["41.34", "61.99"]
    assert as_printed((Decimal("-20.01"), Decimal("96.01")), load) == ["-20.1", "96.1"]


def test_what_is_reached_is_never_told_under_itself_nor_what_is_there_over() -> None:
    """A tank that fails at 80.02 psi has no figure of 80.0 psi, and 73.344 psi are 73.4."""
    assert against_most(Decimal("80.02"), Decimal(80), 1) == ("80.1", "80")
    assert against_most(Decimal("73.344"), Decimal(80), 1) == ("73.4", "80")
    assert against_least(Decimal("29.29"), Decimal("29.25"), 1) == ("29.29", "29.25")
    assert in_print("73.344", "80", "psi", "at most")[0] == "73.4 psi"
    assert in_print("31.99", "29.25", "in2", "at least") == ("31.9 sq in", "29.3 sq in")


@pytest.mark.parametrize("name", [one for one, (rule, _) in figure_contracts().items() if rule.unit == "in"])
def test_a_mark_of_the_tape_is_printed_as_it_is(name: str) -> None:
    rule = figure_contracts()[name][0]
    assert [as_printed(Decimal(one), rule) for one in ("5.625", "0.125", "37.3125", "12")] == [
        "5.625", "0.125", "37.3125", "12.00",
    ]  # fmt: skip


VENT = {
    "place": "model_irc_2015", "heater_kind": "gas_storage", "draft_kind": "draft_hood", "vent_kind": "type_b",
    "connector_kind": "type_b", "vent_shared": "no",
}  # fmt: skip


@pytest.mark.parametrize(("feet", "inches"), [("0.5", "0.125"), ("4.5", "1.125"), ("0.33", "0.09"), ("6", "1.50")])
def test_a_connector_told_as_it_is_asked_meets(feet: str, inches: str) -> None:
    """1/4 in a foot: 0.5 ft is 1/8 in, 4.5 ft 1 1/8 in, 0.33 ft 0.0825 in."""
    told: dict[str, Any] = {**VENT, "connector_length_ft": feet}
    assert alone.figures_of(told)["connector_rise_needed_in"]["value"] == inches
    told["connector_rise_in"] = inches
    assert alone.verdicts_of(told, ["venting.connector_slope"]) == {"venting.connector_slope": "meets"}


def test_the_working_of_a_tank_comes_to_the_size_that_is_printed() -> None:
    """Where the growth as its own figure prints it comes to a tenth less, it is printed to more places."""
    for gallons in range(30, 120):
        told = {**VENT, "storage_gal": gallons, "thermostat_f": 121, "house_pressure_psi": 60, "elevation_ft": 120}
        one = alone.figures_of(told)["expansion_tank_needed_gal"]
        printed = [Decimal(text) for text in re.findall(r"[0-9.]+", one["worked"].partition(" = ")[0])]
        grown, _, supply, air, most, again = printed
        assert air == again
        size = (grown / (1 - (supply + air) / (most + air))).quantize(Decimal("0.1"), rounding="ROUND_CEILING")
        assert str(size) == one["value"], one["worked"]


@pytest.mark.parametrize(("kilowatts", "amperes"), [("4", 25), ("8", 50)])
def test_a_breaker_that_its_load_is_just_on_is_worked_to_that_load(kilowatts: str, amperes: int) -> None:
    """1.5 x 16.67 is 25.005 A, and the next rating over that 30 A; the heater's 25 A allows no 30."""
    told = {"place": "model_upc_2021", "heater_kind": "electric_storage", "input_kw": kilowatts, "volts": 240, "input_kw_at_volts": 240}
    worked = alone.figures_of(told)["breaker_max_a"]["worked"]
    assert worked == f"1.5 x 1000 x {kilowatts} x 240 / (240 x 240 x 1) = {amperes} A, next standard rating {amperes} A"


def test_what_a_burner_burns_higher_up_is_a_load() -> None:
    told = {**VENT, "input_btuh": 40000, "elevation_ft": 5183}
    one = alone.figures_of(told)["rated_input_at_elevation_btuh"]
    assert one["value"] == "31708"
    assert one["worked"].endswith(" = 31,708 Btu/h, rounded up")


def test_the_sentence_of_a_low_charge_has_the_pressure_of_its_figure() -> None:
    told = {**VENT, "place": "us_ca", "storage_gal": 50, "thermostat_f": 140, "cold_inlet_f": 50, "house_pressure_psi": 60, "elevation_ft": 0,
            "expansion_device": "tank", "expansion_tank_gal": 2, "precharge_psi": 40, "extra_hot_volume_gal": 0}  # fmt: skip
    (one,) = (f for f in alone.findings_of(told, "expansion.precharge_matches_house") if f.kind == "rule")
    assert f"would reach {alone.figures_of(told)['peak_pressure_psi']['value']} psi" in one.why


STRAPPED = {
    "place": "us_ca", "heater_kind": "gas_storage", "storage_gal": 40, "dry_weight_lb": 120, "strap_kind": "steel_strap",
    "strap_anchor": "lag_in_stud", "lag_diameter_in": "1/4", "stud_species": "douglas_fir_larch", "strap_gauge": 24,
    "tank_base_in": 0, "tank_height_in": "1500 mm", "strap_heights_in": ["575 mm", "1225 mm"], "anchor_spacing_in": 32,
    "tank_diameter_in": 18, "wall_gap_in": 1, "strap_width_in": "20 mm", "strap_hole_in": "6 mm", "lag_length_in": "83 mm",
    "wall_cover_in": "13 mm",
}  # fmt: skip


@pytest.mark.parametrize("more", range(5))
def test_a_working_of_millimeters_comes_to_its_tenth(more: int) -> None:
    told = {
        **STRAPPED, "lag_length_in": f"{83 + more} mm", "strap_width_in": f"{20 + more} mm", "strap_heights_in": [f"{575 - more} mm", f"{1225 + more} mm"]
    }  # fmt: skip
    figures = alone.figures_of(told)
    for name, rounding in (("strap_reactions_lb", math.ceil), ("lag_allowable_lb", math.floor), ("strap_allowable_lb", math.floor)):
        sums = calculator.EQUAL.findall(figures[name]["worked"])
        assert sums
        for text, result in sums:
            come = calculator.keyed(calculator.LEADS.sub("", text.strip().removesuffix(" in")))
            assert rounding(round(come * 10, 6)) / 10 == float(result.replace(",", "")), f"{text} = {result}"


def test_where_the_straps_may_sit_is_worked_to_the_ends_that_are_printed() -> None:
    told = {**STRAPPED, "controls_top_in": "342 mm", "controls_bottom_in": "100 mm", "strap_width_in": "32 mm"}
    figures = alone.figures_of(told)
    third, begins = (text.rpartition(" = ")[2] for text in figures["lower_strap_band_in"]["worked"].split("; "))
    assert (begins, third, figures["lower_strap_band_in"]["value"]) == ("18.1 in", "19.68 in", ["18.10", "19.68"])
    assert figures["upper_strap_band_in"]["worked"].endswith(" = {} to {} in".format(*figures["upper_strap_band_in"]["value"]))


def test_a_hole_as_wide_as_the_strap_and_a_lag_short_of_the_stud_are_no_negative_lengths() -> None:
    wide = {**STRAPPED, "strap_width_in": "1.238", "strap_hole_in": "1.9328"}
    assert alone.figures_of(wide)["strap_allowable_lb"]["worked"] == "the hole leaves nothing of the strap: 0 lb"
    (one,) = alone.findings_of({**STRAPPED, "wall_cover_in": "6.7224"}, "seismic.fasteners_strong_enough")
    assert (str(one.found), "enter the stud 0 in" in one.why) == ("0", True)


def test_a_thin_sheet_is_told_to_its_thousandths_and_never_thicker() -> None:
    assert in_print("0.028", "0.0236", "in", "at least") == ("0.028 in", "0.0236 in")
    assert in_print("0.0275", "0.0236", "in", "at least")[0] == "0.027 in"
    assert in_print("5.4688", "1.5", "in", "at least")[0] == "5.46 in"
