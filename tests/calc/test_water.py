"""Water: density and weight against published tables and an independent library."""

from decimal import ROUND_UP, Decimal, getcontext, localcontext
from fractions import Fraction

import pytest
from iapws import IAPWS97

from heaterapp.rules.calc import water

D = Decimal
ONE_ATMOSPHERE_MPA = 0.101325


def kelvin(fahrenheit):
    return (fahrenheit - 32) / 1.8 + 273.15


@pytest.mark.parametrize("fahrenheit", range(40, 181, 5))
def test_density_agrees_with_the_international_formulation(fahrenheit):
    # Independent: iapws 1.5.5, IAPWS-IF97 region 1, one atmosphere. The worst seen
    # over these rows is 12.014 parts in a million, at 135 degF.
    other = D(float(IAPWS97(T=kelvin(fahrenheit), P=ONE_ATMOSPHERE_MPA).rho))
    ppm = (water.density(D(fahrenheit)) / other - 1) * 1_000_000
    assert abs(ppm) < D("12.1")


@pytest.mark.parametrize(
    ("fahrenheit", "pounds", "within", "source"),
    [
        (60, "62.37", "0.01", "engineering reference table of water density and weight, lb/ft3"),
        (100, "62.00", "0.01", "the same table"),
        (160, "61", "0.01", "its sister table, printed to a whole pound there"),
        # Kell's column of our own comparison against IF97, six decimals
        (40, "62.426107", "0.000001", "Kell (1975) eq. 16 evaluated in floating point"),
        (120, "61.712197", "0.000001", "Kell (1975) eq. 16 evaluated in floating point"),
        (180, "60.580151", "0.000001", "Kell (1975) eq. 16 evaluated in floating point"),
    ],
)
def test_density_in_pounds_agrees_with_printed_tables(fahrenheit, pounds, within, source):
    found = water.pounds_per_cubic_foot(water.density(D(fahrenheit)))
    assert abs(found - D(pounds)) <= D(within), source


@pytest.mark.parametrize(
    ("celsius", "grams_per_ml"),
    [("4.0", "0.999973"), ("10.0", "0.999700")],  # CRC Handbook, 53rd ed., p. F-4
)
def test_density_agrees_with_the_handbook(celsius, grams_per_ml):
    found = water.density(D(celsius) * D("1.8") + 32)
    assert abs(found / 1000 - D(grams_per_ml)) <= D("0.000002")


@pytest.mark.parametrize("celsius", [5, 60, 100])
def test_every_digit_of_every_coefficient_counts(celsius):
    # Kell (1975) eq. 16 written out a second time from its reproductions, in exact fractions
    top = "999.83952 16.945176 -7.9870401e-3 -46.170461e-6 105.56302e-9 -280.54253e-12"
    bottom = 1 + Fraction("16.879850e-3") * celsius
    rho = sum(Fraction(a) * celsius**n for n, a in enumerate(top.split())) / bottom
    found = water.density(D(celsius) * 9 / 5 + 32)
    assert abs(Fraction(found) - rho) < Fraction(1, 10**23)


def test_density_at_twenty_celsius_shows_the_right_coefficient():
    # 998.20 kg/m3: CRC Handbook and every steam table. The transposed coefficient
    # that circulates gives 997.94.
    assert abs(water.density(D(68)) - D("998.20")) < D("0.01")


def test_the_transposed_coefficient_would_be_caught(monkeypatch):
    monkeypatch.setattr(water, "DENOMINATOR", D("16.897850e-3"))
    wrong = water.density.__wrapped__(D(68))
    assert abs(wrong - D("998.20")) > D("0.2")
    assert abs(wrong - D("997.94")) < D("0.01")


@pytest.mark.parametrize(
    ("fahrenheit", "celsius"),
    [("32", "0"), ("212", "100"), ("-40", "-40"), ("50", "10"), ("77", "25"), ("140", "60")],
)
def test_celsius_is_exact(fahrenheit, celsius):
    assert water.celsius(D(fahrenheit)) == D(celsius)


def test_a_pound_per_cubic_foot_is_the_defined_one():
    pound = D("16.018463373960138")  # 0.45359237 / 0.3048^3
    assert abs(water.pounds_per_cubic_foot(pound) - 1) < D("1e-16")
    assert water.pounds_per_cubic_foot(D(0)) == 0


def test_operating_weight_is_dry_plus_water():
    # 50 x 8.33 = 416.5, by hand
    assert water.operating_weight(D(150), D(50), D("8.33")) == D("566.5")
    assert water.operating_weight(D(0), D(0), D("8.5")) == 0


@pytest.mark.parametrize("edge", ["32", "212"])
def test_density_answers_at_both_ends(edge):
    assert 958 < water.density(D(edge)) < 1000


@pytest.mark.parametrize(
    ("call", "words"),
    [
        (lambda: water.density(D("31.9")), "water_f must be from 32 to 212 degF, not 31.9"),
        (lambda: water.density(D("212.1")), "water_f must be from 32 to 212 degF, not 212.1"),
        (lambda: water.density(D("NaN")), "water_f must be from 32 to 212 degF, not NaN"),
        (lambda: water.pounds_per_cubic_foot(D("-0.1")), "kg_per_m3 must be 0 or more, not -0.1"),
        (lambda: water.pounds_per_cubic_foot(D("NaN")), "kg_per_m3 must be 0 or more, not NaN"),
        (lambda: water.operating_weight(D(-1), D(50), D(8)), "dry_weight_lb must be 0 or more"),
        (lambda: water.operating_weight(D(1), D(-1), D(8)), "storage_gal must be 0 or more"),
        (lambda: water.operating_weight(D(1), D("NaN"), D(8)), "storage_gal must be 0 or more"),
        (lambda: water.operating_weight(D(1), D(1), D("7.9")), "water_lb_per_gal must be from 8"),
        (lambda: water.operating_weight(D(1), D(1), D("8.51")), "to 8.5 lb/gal, not 8.51"),
    ],
)
def test_an_argument_outside_its_range_is_named(call, words):
    with pytest.raises(ValueError, match=words.replace(".", r"\.")):
        call()


def test_the_callers_context_changes_nothing():
    water.density.cache_clear()
    with localcontext() as coarse:
        coarse.prec, coarse.rounding = 3, ROUND_UP
        low = water.density(D(140)), water.celsius(D(50)), water.operating_weight(D(1), D(50), D(8))
    water.density.cache_clear()
    assert low == (water.density(D(140)), D(10), D(401))
    assert getcontext().prec != 3


def test_equal_temperatures_give_the_same_digits():
    for written in ("32.000", "32"):
        water.density.cache_clear()
        assert str(water.density(D(written))) == str(water.density(D("32.0")))
    assert water.density(D(32)) == D("999.83952")  # Kell's first coefficient, t = 0
