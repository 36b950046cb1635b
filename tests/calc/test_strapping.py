"""Straps: where they may sit.

The clauses: 2013 California Plumbing Code 507.2 (on the 2012 UPC; thirds, 4 in. above
the controls), the UPC 507.2 a Washington handout reprints ("from" the controls), Utah
Code 15A-3-305 (thirds). Measuring from the tank's own base, to the middle of the strap,
is our reading of them; the placements below were worked by hand from that reading.
"""

import tomllib
from decimal import Decimal as D
from importlib.resources import files

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from heaterapp.rules.calc.strapping import (
    Band,
    Clearance,
    controls_clearance,
    edge_crosses,
    lower_strap_windows,
    lower_third,
    shortest_tank,
    upper_third,
    usual_dry_weight,
)

FOUR, ONE = D(4), D(1)


def table_rows(name):
    path = files("heaterapp.rules").joinpath("codes", "tables", f"{name}.toml")
    return tomllib.loads(path.read_text(encoding="utf-8"), parse_float=D)["rows"]


# name, base, straps from the floor, control top above the base, clearance, lower, upper
PLACEMENTS = [
    ("both right", 0, (17, 45), 12, "4.5", True, True),
    ("too near the controls", 0, (16, 45), 12, "3.5", True, True),
    ("upper too low", 0, (17, 34), 12, "4.5", True, False),
    ("upper at its limit", 0, (17, 36), 12, "4.5", True, True),
    ("lower at its limit", 0, (18, 45), 12, "5.5", True, True),
    ("lower over its limit", 0, ("18.01", 45), 12, "5.51", False, True),
    ("on an 18 in. stand", 18, (35, 63), 12, "4.5", True, True),
    ("top of the jacket", 18, (35, 72), 12, "4.5", True, True),
    ("over the jacket", 18, (35, "72.01"), 12, "4.5", True, False),
]


@pytest.mark.parametrize(
    ("name", "base", "straps", "control", "clearance", "lower_ok", "upper_ok"), PLACEMENTS
)
def test_placements_on_a_54_inch_tank(name, base, straps, control, clearance, lower_ok, upper_ok):
    low, top = (D(y) for y in straps)
    assert lower_third(D(base), D(54)).holds(low) is lower_ok
    assert upper_third(D(base), D(54)).holds(top) is upper_ok
    free = controls_clearance(low, ONE, D(base) + D(control), above_only=True)
    assert free == Clearance("above", D(clearance))


def test_thirds_are_of_the_tank_and_not_of_the_floor_to_top_height():
    assert lower_third(D(18), D(54)) == Band(D(18), D(36))
    assert upper_third(D(18), D(54)) == Band(D(54), D(72))


def test_a_strap_typed_as_two_thirds_of_an_inch_meets_its_limit():
    # a 50 in. tank: 16 2/3 and 33 1/3 as the form's fractions become Decimals
    assert lower_third(D(0), D(50)).holds(16 + D(2) / 3)
    assert upper_third(D(0), D(50)).holds(33 + D(1) / 3)
    assert not lower_third(D(0), D(50)).holds(D("16.66666666666666666666666668"))


@pytest.mark.parametrize(("control", "shortest"), [(10, "43.5"), (12, "49.5"), (14, "55.5"), (16, "61.5")])
def test_shortest_tank_that_meets_both_clauses(control, shortest):
    assert shortest_tank(D(control), ONE, FOUR) == D(shortest)
    at = lower_strap_windows(D(0), D(shortest), ONE, D(control), clearance_in=FOUR, above_only=True)
    just_under = lower_strap_windows(
        D(0), D(shortest) - D("0.01"), ONE, D(control), clearance_in=FOUR, above_only=True
    )
    assert at == (Band(D(control) + D("4.5"), D(control) + D("4.5")),)
    assert just_under == ()


def test_control_top_at_14_on_a_54_inch_tank_leaves_no_window():
    assert lower_strap_windows(D(0), D(54), ONE, D(14), clearance_in=FOUR, above_only=True) == ()


WINDOWS = [
    # controls top, bottom (from the floor), "above" only, bands; 54 in. tank on an 18 in. stand
    (30, None, True, [("34.5", "36")]),
    (30, 26, True, [("34.5", "36")]),
    (30, 26, False, [("34.5", "36"), ("18", "21.5")]),
    (32, 26, False, [("18", "21.5")]),
    (32, 22, False, []),
    (32, "22.5", False, [("18", "18")]),
    (80, 60, False, [("18", "36")]),
    (None, None, True, [("18", "36")]),
    (5, None, True, [("18", "36")]),
]


@pytest.mark.parametrize(("top", "bottom", "above_only", "bands"), WINDOWS)
def test_windows_for_the_lower_strap(top, bottom, above_only, bands):
    found = lower_strap_windows(
        D(18), D(54), ONE, None if top is None else D(top), None if bottom is None else D(bottom),
        clearance_in=FOUR, above_only=above_only,
    )  # fmt: skip
    assert found == tuple(Band(D(a), D(b)) for a, b in bands)


def test_a_text_that_says_from_takes_the_better_side():
    below = controls_clearance(D(5), ONE, D(20), D(12), above_only=False)
    assert below == Clearance("below", D("6.5"))
    assert controls_clearance(D(5), ONE, D(20), D(12), above_only=True) == Clearance("above", D("-15.5"))
    assert controls_clearance(D(15), ONE, D(20), D(12), above_only=False).inches < 0


@given(
    base=st.integers(0, 40),
    height=st.integers(20, 80),
    top=st.integers(4, 40),
    body=st.integers(1, 8),
    width=st.sampled_from(["0.625", "0.75", "1", "1.5"]),
    strap=st.integers(0, 800),
    above_only=st.booleans(),
)
@settings(max_examples=60, deadline=None)
def test_a_window_holds_exactly_the_heights_that_meet_both_clauses(
    base, height, top, body, width, strap, above_only
):
    base, height, width = D(base), D(height), D(width)
    top = base + D(top)
    bottom, y = top - D(body), base + D(strap) / 10
    windows = lower_strap_windows(base, height, width, top, bottom, clearance_in=FOUR, above_only=above_only)
    clear = controls_clearance(y, width, top, bottom, above_only=above_only).inches >= FOUR
    both = lower_third(base, height).holds(y) and clear
    assert any(band.holds(y) for band in windows) is both


@pytest.mark.parametrize(
    ("height", "crosses"), [("17.5", False), ("17.51", True), ("0.5", False), ("0.49", True), ("18.2", False)]
)
def test_an_edge_over_the_limit_is_noted_only_while_the_middle_is_in(height, crosses):
    assert edge_crosses(lower_third(D(0), D(54)), D(height), ONE) is crosses


@pytest.mark.parametrize(("base", "height"), [(-1, 54), (0, 0), ("NaN", 54)])
def test_heights_that_cannot_be_are_refused(base, height):
    with pytest.raises((ValueError, ArithmeticError)):
        lower_third(D(base), D(height))


DRY = [
    ("electric_storage", 30, 100), ("electric_storage", 40, 120), ("electric_storage", 50, 150),
    ("indirect", 75, 250), ("electric_storage", 80, 190), ("gas_storage", 100, 360),
    ("gas_storage", 30, 100), ("gas_storage", 40, 160), ("gas_storage", 50, 180), ("gas_storage", 75, 250),
    ("heat_pump_storage", 40, 205), ("heat_pump_storage", 50, 215), ("gas_storage", "40.1", 180),
    ("gas_storage", 101, None),
]  # fmt: skip


@pytest.mark.parametrize(("kind", "gallons", "weight"), DRY)
def test_usual_dry_weights(kind, gallons, weight):
    found = usual_dry_weight(table_rows("dry_weights"), kind, D(gallons))
    assert found == (None if weight is None else D(weight))


def test_no_usual_weight_is_lighter_than_everything_that_was_read():
    for row in table_rows("dry_weights"):
        if "read_low_lb" in row:
            assert row["weight_lb"] > row["read_low_lb"]
        else:
            assert row["confidence"] == "memory"
