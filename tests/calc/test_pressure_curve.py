"""The line of pressure against water temperature that is drawn for the homeowner."""

from decimal import Decimal
from itertools import pairwise

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from heaterapp.rules.calc.expansion import acceptance_factor, peak_pressure, thermal_expansion
from heaterapp.rules.calc.pressure_curve import pressure_curve, temperature_when_expanded

D = Decimal
SEA = D("14.696")
HEATER = (D(50), D(50), D(140))


def curve(supply=60, tank=None, charge=None, acceptance=None, heater=HEATER, relief=150, steps=9):
    numbers = (None if value is None else D(value) for value in (tank, charge, acceptance))
    return pressure_curve(*heater, D(supply), D(relief), SEA, *numbers, steps=steps)


def test_without_a_tank_the_line_goes_straight_up_to_the_relief_setting():
    assert curve() == ((50, 60), (50, 150), (140, 150))


def test_with_a_tank_every_point_is_the_tank_models():
    line = curve(tank=2, charge=60)
    assert [point.water_f for point in line] == list(range(50, 141, 10))
    for at, pressure in line:
        grown = thermal_expansion(D(50), D(50), at)
        assert pressure == peak_pressure(grown, D(2), D(60), D(60), SEA).value


def test_as_many_steps_as_asked():
    assert len(curve(tank=2, charge=60, steps=1)) == 2
    assert len(pressure_curve(*HEATER, D(60), D(150), SEA, D(2), D(60))) == 25


def test_a_low_charge_runs_up_to_the_relief_setting_and_stays():
    # 50 gal to 140 F on 60 psi, 2 gal left at 40 psi: 160 psi if nothing opened
    line = curve(tank=2, charge=40)
    opens = line[-2].water_f
    assert 130 < opens < 140
    assert line[-2:] == ((opens, 150), (140, 150))
    room = 2 * acceptance_factor(D(40), D(60), D(150), SEA)
    assert abs(thermal_expansion(D(50), D(50), opens) - room) < D("1e-9")
    assert 150 - line[-3].pressure_psig < D("1e-6")
    assert line[-3].water_f == opens


def test_a_tank_filled_to_its_listed_acceptance_takes_no_more():
    line = curve(tank=2, charge=60, acceptance="0.5")
    full = line[-2].water_f
    assert abs(thermal_expansion(D(50), D(50), full) - D("0.5")) < D("1e-9")
    assert line[-3].water_f == full
    assert 80 < line[-3].pressure_psig < 90
    assert line[-2:] == ((full, 150), (140, 150))


def test_a_tank_already_full_of_cold_water_is_no_tank():
    assert curve(tank=2, charge=40, acceptance="0.4") == curve()


def test_a_charge_above_the_supply_is_a_step_at_the_start():
    line = curve(tank=4, charge=70)
    assert line[:2] == ((50, 60), (50, 70))
    assert line[-1] == (140, peak_pressure(thermal_expansion(*HEATER), D(4), D(70), D(60), SEA).value)


@pytest.mark.parametrize("charge", [150, 160])
def test_a_charge_at_the_relief_setting_or_over_it_is_no_tank(charge):
    assert curve(tank=4, charge=charge) == curve()


def test_a_supply_over_the_relief_setting_is_drawn_at_the_setting():
    assert curve(supply=160) == ((50, 150), (140, 150))
    assert curve(supply=160, tank=4, charge=60) == ((50, 150), (140, 150))


def test_nothing_heated_is_one_point():
    assert curve(heater=(D(50), D(120), D(120))) == ((120, 60),)
    assert curve(heater=(D(0), D(50), D(120)), tank=2, charge=60) == ((50, 60), (120, 60))


def test_the_line_stays_flat_while_water_shrinks():
    # Cold at 35 F, water is as large again at about 43.4 F (density maximum at 39.2 F)
    line = curve(tank=4, charge=70, heater=(D(50), D(35), D(125)))
    assert line[0] == (35, 60)
    assert line[1].pressure_psig == 60
    assert 43 < line[1].water_f < 44
    assert line[2] == (line[1].water_f, 70)
    assert all(point.pressure_psig > 70 for point in line[3:])


def test_the_search_ends_at_hot_when_water_never_grows_so_much():
    grown = thermal_expansion(*HEATER)
    assert temperature_when_expanded(*HEATER, grown) == 140
    assert temperature_when_expanded(*HEATER, D(5)) == 140
    assert temperature_when_expanded(*HEATER, D(0)) == 50


@settings(max_examples=25, deadline=None)
@given(
    st.integers(30, 100),
    st.decimals("0.5", "6", places=1),
    st.integers(10, 120),
    st.none() | st.decimals("0.1", "6", places=1),
    st.integers(32, 70),
)
def test_the_line_never_turns_back(supply, tank, charge, acceptance, cold):
    line = curve(supply, tank, charge, acceptance, (D(50), D(cold), D(140)))
    assert line[0] == (cold, supply)
    assert line[-1].water_f == 140
    for before, after in pairwise(line):
        assert before.water_f <= after.water_f
        assert before.pressure_psig <= after.pressure_psig <= 150
        assert before != after


@pytest.mark.parametrize(
    ("call", "words"),
    [
        (lambda: curve(steps=0), "steps must be 1 or more, not 0"),
        (lambda: curve(tank=2), "precharge_psig must be given with tank_gal"),
        (lambda: curve(supply=-1), "supply_psig must be from 0"),
        (lambda: curve(relief=1001), "relief_psig must be from 0"),
        (lambda: temperature_when_expanded(*HEATER, D(-1)), "expansion_gal must be from 0"),
    ],
)
def test_an_argument_outside_its_range_is_named(call, words):
    with pytest.raises(ValueError, match=words):
        call()
