"""Straps: force, shares and pulls.

The four heaters A to D are our own, worked beforehand with a separate coordinate
solution; here the statics are solved once more in floating point by coordinates.
"""

import math
from decimal import Decimal as D

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from heaterapp.rules.calc.angles import arctangent_deg, sine_of_deg
from heaterapp.rules.calc.strap_forces import (
    mass_height,
    splay,
    splay_deg,
    straddles,
    strap_force,
    strap_load,
    strap_reactions,
    strut_force,
    tipping_ratio,
)
from heaterapp.rules.calc.water import operating_weight

CASES = {
    "A 40 gal": {
        "dry": 120, "gal": 40, "W": "453.20", "F": "151.07", "B": 0, "H": 60, "D": 18, "g": 1, "s": 32,
        "straps": (18, 51), "hc": 30, "c": "10", "d": "18.868", "phi": "29.505", "L": "16.583",
        "Q": ("96.13", "54.93"), "T": ("55.23", "31.56"), "pull": ("48.07", "27.47"),
        "along": ("27.20", "15.54"), "tip": "3.333",
    },
    "B 50 gal on a stand": {
        "dry": 150, "gal": 50, "W": "566.50", "F": "188.83", "B": 18, "H": 58, "D": 20, "g": 2, "s": 32,
        "straps": (36, 67), "hc": 47, "c": "12", "d": "20.000", "phi": "23.130", "L": "17.321",
        "Q": ("121.83", "67.01"), "T": ("66.24", "36.43"), "pull": ("60.91", "33.50"),
        "along": ("26.02", "14.31"), "tip": "2.900",
    },
    "C 50 gal short": {
        "dry": 160, "gal": 50, "W": "576.50", "F": "192.17", "B": 0, "H": 48, "D": 23, "g": 1, "s": 16,
        "straps": (15, 39), "hc": 24, "c": "12.5", "d": "14.841", "phi": "-18.176", "L": "9.381",
        "Q": ("120.10", "72.06"), "T": ("63.21", "37.92"), "pull": ("60.05", "36.03"),
        "along": ("19.72", "11.83"), "tip": "2.087",
    },
    "D 75 gal": {
        "dry": 250, "gal": 75, "W": "874.75", "F": "291.58", "B": 0, "H": 62, "D": 26, "g": 2, "s": 48,
        "straps": (20, 53), "hc": 31, "c": "15", "d": "28.302", "phi": "30.651", "L": "25.140",
        "Q": ("194.39", "97.19"), "T": ("112.98", "56.49"), "pull": ("97.19", "48.60"),
        "along": ("57.60", "28.80"), "tip": "2.385",
    },
}  # fmt: skip


def printed(value, like):
    return value.quantize(D(like)) == D(like)


@pytest.mark.parametrize("case", CASES.values(), ids=CASES.keys())
def test_worked_heaters_to_every_digit(case):
    weight = operating_weight(D(case["dry"]), D(case["gal"]), D("8.33"))
    force = strap_force(weight, D(1), D(3))
    middle = mass_height(D(case["B"]), D(case["H"]))
    reactions = strap_reactions(force, middle, [D(y) for y in case["straps"]])
    legs = splay(D(case["D"]), D(case["g"]), D(case["s"]))
    loads = [strap_load(q, legs) for q in reactions]
    assert middle == case["hc"]
    assert printed(weight, case["W"])
    assert printed(force, case["F"])
    assert printed(legs.axis_from_wall_in, case["c"])
    assert printed(legs.anchor_from_axis_in, case["d"])
    assert printed(legs.leg_in, case["L"])
    assert printed(splay_deg(legs), case["phi"])
    assert printed(tipping_ratio(middle, D(case["B"]), D(case["D"]) / 2), case["tip"])
    for n in (0, 1):
        assert printed(reactions[n], case["Q"][n])
        assert printed(loads[n].leg_tension_lb, case["T"][n])
        assert printed(loads[n].anchor_pull_lb, case["pull"][n])
        assert printed(loads[n].anchor_along_wall_lb, case["along"][n])


def tangent_point(radius, axis, half):
    """Outer tangent point seen from the anchor at (half, 0), found by halving."""
    to_anchor = math.atan2(-axis, half)

    def off_tangent(turn):
        x, y = radius * math.cos(to_anchor + turn), radius * math.sin(to_anchor + turn)
        return x * (x - half) + y * (y + axis)

    low, high = 0.0, math.pi / 2
    for _ in range(100):
        middle = (low + high) / 2
        low, high = (middle, high) if off_tangent(middle) < 0 else (low, middle)
    turn = to_anchor + (low + high) / 2
    return radius * math.cos(turn), axis + radius * math.sin(turn)


def tenths(low, high):
    return st.integers(low, high).map(lambda count: D(count) / 10)


# Tank diameter, gap to the wall, distance between the anchors; all in.
PLANS = st.tuples(tenths(140, 320), tenths(1, 60), tenths(60, 600))


@given(PLANS, tenths(1, 4000))
@settings(max_examples=60, deadline=None)
def test_legs_by_coordinates(plan, reaction):
    legs = splay(*plan)
    load = strap_load(reaction, legs)
    diameter, gap, spacing = map(float, plan)
    radius, half, pushed = diameter / 2, spacing / 2, float(reaction)
    axis = radius + gap
    x, y = tangent_point(radius, axis, half)
    leg = math.hypot(x - half, y)
    ux, uy = (half - x) / leg, -y / leg
    # both legs pull the tank towards the wall; their sum holds it
    tension = pushed / (2 * -uy)
    assert float(legs.leg_in) == pytest.approx(leg, rel=1e-7)
    assert float(load.leg_tension_lb) == pytest.approx(tension, rel=1e-7)
    assert float(load.anchor_pull_lb) == pytest.approx(tension * -uy, rel=1e-7)
    assert float(load.anchor_along_wall_lb) == pytest.approx(abs(tension * ux), rel=1e-6, abs=1e-6)
    assert float(splay_deg(legs)) == pytest.approx(math.degrees(math.atan2(ux, -uy)), abs=1e-5)


@given(PLANS)
@settings(max_examples=40, deadline=None)
def test_sine_and_cosine_of_the_splay_are_one_angle(plan):
    legs, (diameter, _, spacing) = splay(*plan), plan
    assert abs(legs.sine**2 + legs.cosine**2 - 1) < D("1e-24")
    assert legs.cosine > 0
    assert (legs.sine > 0) == (spacing > diameter)


@pytest.mark.parametrize("gap", ["0", "1", "2.375", "11.9"])
def test_anchors_as_wide_as_the_tank_have_no_splay_at_all(gap):
    legs = splay(D("20.25"), D(gap), D("20.25"))
    assert legs.sine == 0
    assert splay_deg(legs) == 0
    assert strap_load(D(100), legs) == (D(50), D(50), D(0))


@given(
    force=st.integers(0, 20000),
    middle=st.integers(0, 100),
    low=st.integers(0, 60),
    apart=st.integers(1, 60),
    between=st.integers(0, 2),
)
@settings(max_examples=60, deadline=None)
def test_shares_balance_force_and_moment(force, middle, low, apart, between):
    heights = [D(low) + D(apart) * n / (between + 1) for n in range(between + 2)]
    shares = strap_reactions(D(force) / 10, D(middle), heights)
    assert len(shares) == len(heights)
    assert shares[1:-1] == (D(0),) * between
    assert abs(sum(shares) - D(force) / 10) < D("1e-22")
    moment = sum(q * h for q, h in zip(shares, heights, strict=True))
    assert abs(moment - D(force) / 10 * middle) < D("1e-18")
    if force:
        assert straddles(D(middle), heights) == (min(shares) >= 0)


def test_a_mass_above_both_straps_reverses_the_lower_one():
    assert strap_reactions(D(90), D(60), [D(20), D(50)]) == (D(-30), D(120))
    legs = splay(D(18), D(1), D(32))
    assert strap_load(D(-30), legs) == strap_load(D(30), legs)


@pytest.mark.parametrize("heights", [[], [20], [50, 20], [20, 20], [20, 50, 40]])
def test_straps_that_cannot_share_are_refused(heights):
    with pytest.raises(ValueError, match="strap_heights_in"):
        strap_reactions(D(100), D(30), [D(h) for h in heights])


@pytest.mark.parametrize(("diameter", "gap", "spacing"), [(0, 1, 32), (18, -1, 32), (18, 1, 0)])
def test_plans_that_cannot_be_are_refused(diameter, gap, spacing):
    with pytest.raises(ValueError, match="must be"):
        splay(D(diameter), D(gap), D(spacing))


@pytest.mark.parametrize(("angle", "share"), [(30, "1.00"), (45, "0.707"), (60, "0.577")])
def test_struts_by_angle(angle, share):
    assert printed(strut_force(D(1000), D(angle)) / 1000, share)
    assert float(strut_force(D(1000), D(angle))) == pytest.approx(500 / math.sin(math.radians(angle)))


@pytest.mark.parametrize("angle", ["0", "90", "-5", "135"])
def test_struts_that_cannot_hold_are_refused(angle):
    with pytest.raises(ValueError, match="strut_angle_deg"):
        strut_force(D(100), D(angle))


def test_a_ratio_of_three_is_the_limit_and_not_over_it():
    assert tipping_ratio(D(45), D(18), D(9)) == 3
    with pytest.raises(ValueError, match="base_radius_in"):
        tipping_ratio(D(45), D(18), D(0))


# Tangents and sines written as roots: 15 degrees is 2 - sqrt 3, and so on.
@pytest.mark.parametrize(
    ("tangent", "angle"),
    [
        (D(0), 0),
        (D(1), 45),
        (-D(1), -45),
        (D(3).sqrt(), 60),
        (2 - D(3).sqrt(), 15),
        (D(2).sqrt() - 1, D("22.5")),
    ],
)
def test_arctangent(tangent, angle):
    assert abs(arctangent_deg(tangent) - angle) < D("1e-25")


@given(st.integers(-(10**6), 10**6))
@settings(max_examples=40, deadline=None)
def test_arctangent_and_sine_undo_each_other(thousandths):
    tangent = D(thousandths) / 1000
    sine = sine_of_deg(arctangent_deg(tangent))
    assert abs(sine - tangent / (1 + tangent * tangent).sqrt()) < D("1e-25")
    assert float(arctangent_deg(tangent)) == pytest.approx(math.degrees(math.atan(float(tangent))), abs=1e-12)


@pytest.mark.parametrize(("angle", "square"), [(30, "0.25"), (45, "0.5"), (60, "0.75"), (90, 1), (0, 0)])
def test_sine(angle, square):
    assert abs(sine_of_deg(D(angle)) ** 2 - D(square)) < D("1e-26")


def test_the_callers_own_context_changes_nothing():
    from decimal import ROUND_UP, localcontext

    usual = strap_load(D(100), splay(D(18), D(1), D(32))), sine_of_deg(D(50))
    with localcontext() as rough:
        rough.prec, rough.rounding = 4, ROUND_UP
        assert (strap_load(D(100), splay(D(18), D(1), D(32))), sine_of_deg(D(50))) == usual
