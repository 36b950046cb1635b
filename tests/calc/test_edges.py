"""What no printed example touches: factors that are not one, and the last value of each range. Worked by hand."""

from __future__ import annotations

from decimal import Decimal as D

import pytest

from heaterapp.rules.calc import angles, fasteners, strap_forces, structural, vent_tables

FACTORS = {
    "formula_factor": D("0.4"),
    "rise_factor": D(2),
    "least_factor": D("0.3"),
    "most_factor": D("1.6"),
}


def _force(importance: str, amplification: str = "1", response: str = "1") -> structural.StructuralForce:
    return structural.structural_force(
        D(250),
        D("0.85"),
        amplification=D(amplification),
        response_modification=D(response),
        importance=D(importance),
        floor_height_ft=D(0),
        roof_height_ft=D(30),
        **FACTORS,
    )


def test_an_essential_building_takes_half_as_much_again() -> None:
    # 0.4 x 0.85 x 1.5 x 250 = 127.5; least 0.3 and most 1.6 of 0.85 x 1.5 x 250 = 318.75
    found = _force("1.5")
    assert (found.by_formula_lb, found.least_lb, found.most_lb) == (D("127.5"), D("95.625"), D(510))
    later = structural.later_force(
        D(250),
        D("0.85"),
        importance=D("1.5"),
        height=D("1.5"),
        frame=D("1.3"),
        resonance=D("1.4"),
        strength=D("1.5"),
        formula_factor=D("0.4"),
        least_factor=D("0.3"),
        most_factor=D("1.6"),
    )
    # 0.4 x 318.75 x (1.5 / 1.3) x (1.4 / 1.5)
    assert later.by_formula_lb.quantize(D("0.001")) == D("137.308")
    assert (later.least_lb, later.most_lb) == (D("95.625"), D(510))


def test_what_swings_takes_more_and_what_gives_takes_less() -> None:
    assert _force("1", amplification="2.5").by_formula_lb == D("212.5")
    assert _force("1", response="2.5").by_formula_lb == D(34)


def test_two_thirds_are_twice_a_third() -> None:
    assert strap_forces.strap_force(D(450), D(2), D(3)) == D(300)


def test_the_densest_wood_of_the_formula_and_none_denser() -> None:
    # 1800 x 1 x 1 at a gravity of 1 and a lag of 1 in
    assert fasteners.withdrawal_per_inch(D(1), D(1)) == D(1800)
    with pytest.raises(ValueError, match="gravity"):
        fasteners.withdrawal_per_inch(D("1.01"), D(1))


def test_a_lag_with_a_load_below_a_pound_is_a_loaded_lag() -> None:
    found = fasteners.pull_and_shear(D("0.3"), D("0.4"), pull_allowable_lb=D(600), along_allowable_lb=D(200))
    assert found.load_lb == D("0.5")
    assert fasteners.pull_and_shear(D(0), D(0), pull_allowable_lb=D(600), along_allowable_lb=D(200)).load_lb == 0


def test_a_steep_strut_within_its_range() -> None:
    # 1 / (2 sin 0.5 degrees), sin 0.5 degrees = 0.00872653549837393
    assert strap_forces.strut_force(D(1), D("0.5")).quantize(D("0.0001")) == D("57.2965")
    for beyond in (D(0), D(90)):
        with pytest.raises(ValueError, match="strut_angle_deg"):
            strap_forces.strut_force(D(1), beyond)


@pytest.mark.parametrize("angle", ["90", "-90"])
def test_a_right_angle_is_the_last(angle: str) -> None:
    assert angles.sine_of_deg(D(angle)) == D(angle) / 90
    with pytest.raises(ValueError, match="angle_deg"):
        angles.sine_of_deg(D(angle) + D(angle).copy_sign(D(angle)) / 90)


def test_a_connector_allowed_no_length_costs_nothing_and_one_of_a_foot_does() -> None:
    assert vent_tables.over_length(D(5), D(0)) == 0
    assert vent_tables.over_length(D("2.5"), D(1)) == 2
    assert vent_tables.over_length(D(1), D("0.5")) == 1
    assert vent_tables.over_length(D(6), D(6)) == 0
