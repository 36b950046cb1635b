"""Air for burning against published tables and guides."""

from decimal import Decimal

import pytest

from heaterapp.rules.calc import air

D = Decimal
FACTORS = {"hood_factor": D(21), "fan_factor": D(15), "most_changes": D("0.6")}

# Minnesota Fuel Gas Code appendix E, Table E-1, as a city published it (publicinfo.ci.orono.mn.us): Btu/h, then
# standard; fan-assisted in a house of 1994 on and of before; natural draft in the same two. The rates of 0.20 and
# 0.40 changes are not printed: they are what the printed cells come to. Halves are rounded up in print.
TABLE_E1 = [
    (10_000, 500, 750, 375, 1_050, 525),
    (25_000, 1_250, 1_875, 938, 2_625, 1_313),
]


@pytest.mark.parametrize(("btuh", "standard", "fan_new", "fan_old", "hood_new", "hood_old"), TABLE_E1)
def test_rows_of_a_state_table(btuh, standard, fan_new, fan_old, hood_new, hood_old):
    assert air.standard_volume(D(btuh), D(50)) == standard
    for rate, fan, hood in (("0.2", fan_new, hood_new), ("0.4", fan_old, hood_old)):
        by_fan = air.infiltration_volume(D(0), D(btuh), D(rate), **FACTORS)
        by_hood = air.infiltration_volume(D(btuh), D(0), D(rate), **FACTORS)
        assert abs(by_fan - fan) <= D("0.5")
        assert abs(by_hood - hood) <= D("0.5")


def test_a_misprinted_cell_of_that_table_is_not_followed():
    """The same copy prints 19,450 for 180,000 Btu/h, natural draft, before 1994: a digit too many."""
    assert air.infiltration_volume(D(180_000), D(0), D("0.4"), **FACTORS) == 9450


def test_a_room_of_a_gas_utilitys_guide():
    """Engineering guide, adequate volume (hawaiigas.com): 150,000 Btu/h need 7,500 ft3; 20 x 30 x 8 ft is 4,800."""
    assert air.standard_volume(D(150_000), D(50)) == 7500 > 20 * 30 * 8


def test_two_sorts_of_burner_are_added():
    both = air.infiltration_volume(D(40_000), D(60_000), D("0.3"), **FACTORS)
    hood = air.infiltration_volume(D(40_000), D(0), D("0.3"), **FACTORS)
    fan = air.infiltration_volume(D(0), D(60_000), D("0.3"), **FACTORS)
    assert both == hood + fan == 5800


@pytest.mark.parametrize(
    ("changes", "volume"), [("0.59", "1423.728813559322033898305085"), ("0.6", "1400"), ("5", "1400")]
)
def test_more_than_the_cap_does_not_count(changes, volume):
    assert air.infiltration_volume(D(40_000), D(0), D(changes), **FACTORS) == D(volume)


def test_where_the_two_methods_cross():
    """0.42 changes for a draft hood and 0.30 for a fan give the standard volume."""
    assert air.infiltration_volume(D(40_000), D(0), D("0.42"), **FACTORS) == 2000
    assert air.infiltration_volume(D(0), D(40_000), D("0.30"), **FACTORS) == 2000


@pytest.mark.parametrize(
    ("btuh", "per", "least", "area"),
    [(40_000, 1000, 100, 100), (100_000, 1000, 100, 100), (150_000, 1000, 100, 150), (40_000, 4000, 0, 10), (40_000, 3000, 0, "13.33333333333333333333333333")],
)  # fmt: skip
def test_openings(btuh, per, least, area):
    assert air.opening_area(D(btuh), D(per), D(least)) == D(area)


def test_a_wood_louver_of_a_door():
    """2 x 6 ft of slats: 1,728 in2, of which a quarter, 432, is free."""
    assert air.free_area(D(24) * D(72), D("0.25")) == 432


@pytest.mark.parametrize(
    ("there", "needed", "share"), [(0, 2000, 1), (500, 2000, "0.75"), (2000, 2000, 0), (2001, 2000, 0)]
)
def test_what_the_rooms_do_not_give(there, needed, share):
    assert air.outdoor_share(D(there), D(needed)) == D(share)


def test_a_fan():
    assert air.fan_air(D(40_000), D("0.35")) == 14


@pytest.mark.parametrize(
    ("call", "words"),
    [
        (lambda: air.standard_volume(D(-1), D(50)), "input_btuh must be 0 or more"),
        (lambda: air.standard_volume(D(1), D(0)), "ft3_per_1000_btuh must be more than 0"),
        (lambda: air.infiltration_volume(D(1), D(1), D(0), **FACTORS), "changes_per_hour must be more than 0"),
        (lambda: air.infiltration_volume(D(-1), D(1), D(1), **FACTORS), "hood_btuh must be 0 or more"),
        (lambda: air.infiltration_volume(D(1), D(1), D(1), **{**FACTORS, "fan_factor": D(0)}), "fan_factor must be more"),
        (lambda: air.opening_area(D(1), D(0)), "btuh_per_in2 must be more than 0"),
        (lambda: air.opening_area(D(1), D(1), D(-1)), "least_in2 must be 0 or more"),
        (lambda: air.free_area(D(1), D(2)), "share must be from 0 to 1"),
        (lambda: air.free_area(D(-1), D(1)), "gross_in2 must be 0 or more"),
        (lambda: air.outdoor_share(D(1), D(0)), "needed_ft3 must be more than 0"),
        (lambda: air.outdoor_share(D(-1), D(1)), "available_ft3 must be 0 or more"),
        (lambda: air.fan_air(D(-1), D(1)), "input_btuh must be 0 or more"),
        (lambda: air.fan_air(D(1), D(0)), "cfm_per_1000_btuh must be more than 0"),
    ],
)  # fmt: skip
def test_an_argument_outside_its_range_is_named(call, words):
    with pytest.raises(ValueError, match=words):
        call()
