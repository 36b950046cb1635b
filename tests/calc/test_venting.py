"""Vents: areas, connectors, ends.

Tables and rules: 2012 UPC chapter 5 as printed in the 2013 California Plumbing Code
(github.com/abrightguy/abrightguy.github.io, codes/2013/5), with the New York City Fuel
Gas Code 2022 and the 2018 IRC beside it where a row says so.
"""

import tomllib
from decimal import Decimal as D
from importlib.resources import files

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from heaterapp.rules.calc import vent_ends as ends
from heaterapp.rules.calc import venting as ve
from heaterapp.rules.calc.printed import row_where

HALF, SEVEN = D("0.5"), D(7)
SIZES = [D(n) for n in (3, 4, 5, 6, 7, 8)]


def table_rows(name):
    path = files("heaterapp.rules").joinpath("codes", "tables", f"{name}.toml")
    return tomllib.loads(path.read_text(encoding="utf-8"), parse_float=D)["rows"]


# Geometry; areas as a sizing example needs them, in2 to 0.01.
@pytest.mark.parametrize(
    ("diameter", "area"),
    [(3, "7.07"), (4, "12.57"), (5, "19.63"), (6, "28.27"), (7, "38.48"), (8, "50.27"), (10, "78.54"),
     (12, "113.10")],
)  # fmt: skip
def test_circle_areas(diameter, area):
    assert ve.circle_area(D(diameter)).quantize(D("0.01")) == D(area)


def test_pi_to_28_digits():
    # pi / 4 by Machin's formula (1706), summed here independently as whole numbers.
    unit = 10**45

    def arctan_of_inverse(n):
        term = total = unit // n
        odd, sign = 1, 1
        while term:
            term //= n * n
            odd, sign = odd + 2, -sign
            total += sign * (term // odd)
        return total

    digits = str(4 * (4 * arctan_of_inverse(5) - arctan_of_inverse(239)))
    assert str(ve.PI).replace(".", "")[:40] == digits[:40]
    assert abs(ve.circle_area(D(2)) - ve.PI) < D("2e-27")


# Seven times the outlet, UPC 509.6.3.1 and NYC 503.6.9.1: in2 to 0.01.
@pytest.mark.parametrize(("hood", "cap", "largest"), [(3, "49.48", 7), (4, "87.96", 8)])
def test_seven_times_the_outlet(hood, cap, largest):
    most = SEVEN * ve.circle_area(D(hood))
    assert most.quantize(D("0.01")) == D(cap)
    assert ve.largest_size(most, SIZES) == largest


def test_area_rule_for_two_hoods():
    # 3 and 4 in. hoods: 12.57 + 3.53 = 16.10 in2, so 5 in.; at most 7 in. for the 3 in. hood.
    for pair in ((3, 4), (4, 3)):
        needed = ve.shared_area_needed(D(pair[0]), D(pair[1]), HALF)
        assert needed.quantize(D("0.01")) == D("16.10")
        assert ve.smallest_size(needed, SIZES) == 5
    assert ve.shared_area_needed(D(4), D(4), HALF) == D("1.5") * ve.circle_area(D(4))


def test_eight_by_twelve_tile_over_two_hoods():
    # IFGC Appendix B (2012), example 5(b): 63.6 in2 for an 8 x 12 in. tile.
    assert ve.flue_ratio(D("63.6"), D(4)) < SEVEN < ve.flue_ratio(D("63.6"), D(3))


def test_sizes_that_none_reaches():
    assert ve.smallest_size(D(51), SIZES) is None
    assert ve.largest_size(D(7), SIZES) is None
    assert ve.smallest_size(ve.circle_area(D(6)), SIZES) == ve.largest_size(ve.circle_area(D(6)), SIZES) == 6


@given(st.integers(1, 400), st.integers(1, 400))
@settings(max_examples=40, deadline=None)
def test_a_ratio_of_circles_needs_no_pi(vent, outlet):
    ratio = ve.circle_ratio(D(vent) / 8, D(outlet) / 8)
    areas = ve.circle_area(D(vent) / 8) / ve.circle_area(D(outlet) / 8)
    assert abs(ratio / areas - 1) < D("1e-25")
    assert (ratio > SEVEN) == (vent * vent > 7 * outlet * outlet)


@pytest.mark.parametrize(
    ("share", "height", "length"), [("0.75", 10, "7.5"), ("1", 10, "10"), ("0.75", "16.5", "12.375")]
)
def test_connector_by_height(share, height, length):
    # UPC 509.10.7, NYC 503.10.8: single wall three quarters of the height, Type B all of it.
    assert ve.connector_length_by_height(D(height), D(share)) == D(length)


@pytest.mark.parametrize(
    ("diameter", "length"),
    [(3, "4.5"), (4, "6"), (5, "7.5"), (6, "9"), (7, "10.5"), (8, "12"), (9, "13.5"), (10, "15"), (12, "18")],
)
def test_connector_by_diameter(diameter, length):
    # UPC Table 510.2.1; the 4 in. row also in IRC 2018 G2428.3.2.
    assert ve.connector_length_by_diameter(D(diameter), D("1.5")) == D(length)


@pytest.mark.parametrize(("run", "rise"), [("6", "1.5"), ("0", "0"), ("3.5", "0.875")])
def test_quarter_inch_in_the_foot(run, rise):
    # UPC 509.10.6, NYC 503.10.7.
    assert ve.rise_needed(D(run), D("0.25")) == D(rise)


def test_lengths_that_cannot_be_are_refused():
    for call in (
        lambda: ve.rise_needed(D(-1), D("0.25")),
        lambda: ve.circle_area(D(0)),
        lambda: ve.connector_length_by_height(D(0), D(1)),
        lambda: ends.height_by_pitch(table_rows("roof_pitch"), D(-1)),
    ):
        with pytest.raises(ValueError, match="must be"):
            call()


# UPC Table 509.6.2, UMC Table 802.6.2, 2018 IRC page 591: feet.
@pytest.mark.parametrize(
    ("pitch", "height"),
    [("0", "1"), ("6", "1"), ("6.01", "1.25"), ("7", "1.25"), ("8", "1.5"), ("9", "2"), ("9.5", "2.5"),
     ("10", "2.5"),
     ("11", "3.25"), ("12", "4"), ("13", "5"), ("14", "5"), ("16", "6"), ("18", "7"), ("20", "7.5"),
     ("21", "8")],
)  # fmt: skip
def test_roof_pitch(pitch, height):
    assert ends.height_by_pitch(table_rows("roof_pitch"), D(pitch)) == D(height)


def test_no_height_beyond_the_steepest_roof_printed():
    assert ends.height_by_pitch(table_rows("roof_pitch"), D("21.01")) is None


# UPC 509.6.2, NYC 503.6.4; the last column worked by hand, inches.
ROOFS = [
    ("open roof", {}, 12, "pitch"),
    ("8 ft from a wall", {"to_wall_ft": 8, "wall_rise_in": 60}, 12, "pitch"),
    ("nearer to a wall, low roof", {"pitch_in_12": 0, "to_wall_ft": "7.99", "wall_rise_in": 60}, 84,
        "wall"),
    ("nearer, the roof rises more", {"to_wall_ft": 5, "wall_rise_in": 30}, 84, "slope"),
    ("ridge within ten feet", {"to_wall_ft": 5, "wall_rise_in": 30, "to_ridge_ft": 10,
        "ridge_rise_in": 36}, 60, "ridge"),
    ("ridge farther off", {"to_wall_ft": 5, "wall_rise_in": 30, "to_ridge_ft": 11, "ridge_rise_in": 66},
        84, "slope"),
    ("12 in. vent", {"vent_diameter_in": 12}, 12, "pitch"),
    ("wider vent, flat roof", {"vent_diameter_in": 14, "pitch_in_12": 0}, 24, "roof"),
    ("wider vent, wall at 10 ft", {"vent_diameter_in": 14, "pitch_in_12": 0, "to_wall_ft": 10,
        "wall_rise_in": 40}, 64, "wall"),
    ("wider vent, wall past 10 ft", {"vent_diameter_in": 14, "pitch_in_12": 0, "to_wall_ft": 11,
        "wall_rise_in": 40}, 24, "roof"),
]  # fmt: skip


@pytest.mark.parametrize(("name", "roof", "inches", "by"), ROOFS, ids=[row[0] for row in ROOFS])
def test_end_above_the_roof(name, roof, inches, by):
    asked = {"pitch_in_12": 6, "vent_diameter_in": 4} | roof
    found = ends.end_above_roof(
        table_rows("roof_pitch"), widest_in=D(12), clear_of_wall_ft=D(8), above_in=D(24), within_ft=D(10),
        **{key: D(value) for key, value in asked.items()},
    )  # fmt: skip
    assert found == (inches, by)


def test_an_end_on_too_steep_a_roof_has_no_printed_height():
    found = ends.end_above_roof(
        table_rows("roof_pitch"), pitch_in_12=D(22), vent_diameter_in=D(4), widest_in=D(12),
        clear_of_wall_ft=D(8), above_in=D(24), within_ft=D(10),
    )  # fmt: skip
    assert found is None


# UPC 509.8.2, UMC 802.8.3.
@pytest.mark.parametrize(
    ("btuh", "inches"),
    [(9000, 6), (10000, 6), (10001, 9), (50000, 9), (50001, 12), (75000, 12), (150000, 12), (199000, 12)],
)
def test_direct_vent_by_input(btuh, inches):
    assert ends.direct_vent_distance(table_rows("direct_vent_distances"), D(btuh)) == inches


# 2018 IRC Table G2409.2 page 552, rows 1 to 3.
@pytest.mark.parametrize(
    ("shield", "required", "above", "side"),
    [("masonry_3_5in_no_space", 18, None, 12), ("insulation_board_half_in", 6, 4, 3),
     ("sheet_metal_24ga_over_fiber_air_space", 18, 9, 6), ("sheet_metal_24ga_over_fiber_air_space", 6, 3, 3),
     ("sheet_metal_24ga_air_space", 6, 3, 2), ("sheet_metal_24ga_air_space", 7, None, None),
     ("none", 6, None, None)],
)  # fmt: skip
def test_clearance_left_by_a_shield(shield, required, above, side):
    rows = table_rows("clearance_reduction")
    assert ends.shielded_clearance(rows, shield, D(required), above=True) == above
    assert ends.shielded_clearance(rows, shield, D(required), above=False) == side


def test_a_shield_never_adds_to_a_clearance_and_more_is_left_above_than_beside():
    for row in table_rows("clearance_reduction"):
        assert row["side_in"] <= row.get("above_in", row["required_in"]) < row["required_in"] or (
            "above_in" not in row and row["side_in"] <= row["required_in"]
        )


# UPC Table 509.7.3; first row also NYC Table 503.10.5.
@pytest.mark.parametrize(
    ("appliance", "connector", "permitted", "inches"),
    [("draft_hood_or_type_b_listed", "single_wall", True, 6),
     ("draft_hood_or_type_b_listed", "type_b", True, None),
     ("unlisted_with_draft_hood", "single_wall", True, 9),
     ("unlisted_with_draft_hood", "type_b", False, None),
     ("other_low_heat", "single_wall", True, 18), ("medium_heat", "single_wall", True, 36)],
)  # fmt: skip
def test_connector_clearance_table(appliance, connector, permitted, inches):
    row = row_where(table_rows("connector_clearance"), appliance=appliance, connector=connector)
    assert (row["permitted"], row.get("clearance_in")) == (permitted, inches)
    assert row["permitted"] is False or ("clearance_in" in row) != ("as_listed" in row)
