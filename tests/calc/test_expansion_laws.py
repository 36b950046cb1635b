"""What must hold for every tank, whatever its numbers, and what is refused."""

from decimal import ROUND_CEILING, Decimal, localcontext

import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from heaterapp.rules.calc import expansion as ex

D = Decimal
SEA = D("14.696")

SIZES = st.decimals("0.5", "80", places=3)
CHARGES = st.decimals("12", "100", places=2)
AIRS = st.decimals("10", "15", places=3)
GROWN = st.decimals("0.01", "8", places=4)
quick = settings(max_examples=40, deadline=None)


@quick
@given(GROWN, CHARGES, CHARGES, AIRS, st.decimals("0.5", "60", places=2))
def test_a_tank_of_the_needed_size_peaks_exactly_at_the_limit(grown, charge, supply, air, above):
    limit = max(charge, supply) + above
    needed = ex.tank_needed(grown, charge, supply, limit, air).value
    peak = ex.peak_pressure(grown, needed, charge, supply, air).value
    assert abs(peak - limit) < D("1e-12")


@quick
@given(GROWN, SIZES, CHARGES, CHARGES, AIRS)
def test_a_larger_tank_never_peaks_higher(grown, tank, charge, supply, air):
    small = ex.peak_pressure(grown, tank, charge, supply, air).value
    large = ex.peak_pressure(grown, tank + 1, charge, supply, air).value
    assert small is None or supply <= large < small


@quick
@given(GROWN, SIZES, CHARGES, CHARGES, AIRS)
def test_more_expansion_peaks_higher(grown, tank, charge, supply, air):
    less = ex.peak_pressure(grown, tank, charge, supply, air).value
    more = ex.peak_pressure(grown + D("0.01"), tank, charge, supply, air).value
    assert more is None or max(charge, supply) < less < more


@quick
@given(CHARGES, AIRS, st.decimals("0.5", "60", places=2))
def test_charged_to_the_supply_it_is_the_textbook_factor(supply, air, above):
    limit = supply + above
    textbook = 1 - (supply + air) / (limit + air)
    assert abs(ex.acceptance_factor(supply, supply, limit, air) - textbook) < D("1e-25")


@quick
@given(CHARGES, CHARGES, CHARGES, AIRS)
def test_the_factor_is_a_share(charge, supply, limit, air):
    factor = ex.acceptance_factor(charge, supply, limit, air)
    assert 0 <= factor < 1
    assert (factor > 0) == (max(charge, supply) < limit)


@pytest.mark.parametrize(
    ("call", "words"),
    [
        (lambda: ex.thermal_expansion(D(50), D(120), D("119.9")), "hot_f must be from 120 to 212"),
        (lambda: ex.thermal_expansion(D(50), D("31.9"), D(120)), "cold_f must be from 32"),
        (lambda: ex.thermal_expansion(D(50), D(50), D("212.1")), "hot_f must be from 50 to 212"),
        (lambda: ex.thermal_expansion(D(-1), D(50), D(120)), "volume_gal must be from 0"),
        (lambda: ex.tank_needed(D(-1), D(60), D(60), D(80), SEA), "expansion_gal must be"),
        (lambda: ex.acceptance_factor(D("-13.7"), D(60), D(80), SEA), "precharge_psig must be"),
        (lambda: ex.acceptance_factor(D(60), D(1001), D(80), SEA), "supply_psig must be"),
        (lambda: ex.acceptance_factor(D(60), D(60), D(-1), SEA), "limit_psig must be"),
        (lambda: ex.acceptance_factor(D(60), D(60), D(80), D("2.9")), "atmosphere_psia must be"),
        (lambda: ex.acceptance_factor(D(60), D(60), D(80), D("26.1")), "to 26 psia, not 26.1"),
        (lambda: ex.water_in_tank_cold(D(0), D(60), D(60), SEA), "tank_gal must be from 0.001"),
        (lambda: ex.water_in_tank_cold(D(2), D("-13.7"), D(60), SEA), "precharge_psig must be from -13.696"),
        (lambda: ex.acceptance_used(D(-1), D(2), D(60), D(60), SEA), "expansion_gal must be"),
        (lambda: ex.acceptance_used(D(1), D(2), D(60), D(60), SEA, D(-1)), "acceptance_gal must"),
        (
            lambda: ex.peak_pressure(D(1), D(2), D(60), D(60), SEA, None, D(-1)),
            "relief_psig must be from 0 to 1000 psi, not -1",
        ),
        (lambda: ex.precharge_at_air(D(-1), D(70), D(70), SEA), "precharge_psig must be"),
        (lambda: ex.precharge_at_air(D(60), D(-61), D(70), SEA), "set_air_f must be from -60"),
        (lambda: ex.precharge_at_air(D(60), D(70), D(201), SEA), "other_air_f must be"),
        (lambda: ex.precharge_at_air(D(60), D(70), D(70), D(2)), "atmosphere_psia must be"),
    ],
)
def test_an_argument_outside_its_range_is_named(call, words):
    with pytest.raises(ValueError, match=words.replace(".", r"\.")):
        call()


def test_both_ends_of_every_range_are_answered():
    for air in (D(3), D(26)):
        assert ex.acceptance_factor(D(0), D(0), D(1000), air) < 1
    assert ex.thermal_expansion(D(100000), D(32), D(212)) > 4000
    assert ex.water_in_tank_cold(D("0.001"), D(0), D(1000), SEA) < D("0.001")
    assert ex.precharge_at_air(D(0), D(-60), D(200), SEA) > 0
    with pytest.raises(ValueError, match="volume_gal must be from 0 to 100000 gal, not 100001"):
        ex.thermal_expansion(D(100001), D(32), D(212))


def test_absolute_zero_is_the_defined_one():
    # 0 K is -459.67 degF by definition: -60 degF is 399.67 R, 200 degF is 659.67 R
    found = ex.precharge_at_air(D(0), D(-60), D(200), D(15))
    assert abs((found + 15) * D("399.67") - 15 * D("659.67")) < D("1e-20")


def test_the_callers_context_changes_nothing():
    def figures():
        grown = ex.thermal_expansion(D(50), D(50), D(140))
        return (
            grown,
            ex.tank_needed(grown, D(60), D(60), D(80), SEA),
            ex.peak_pressure(grown, D(2), D(40), D(60), SEA),
            ex.precharge_at_air(D(60), D(70), D(40), SEA),
        )

    with localcontext() as coarse:
        coarse.prec, coarse.rounding = 4, ROUND_CEILING
        low = figures()
    assert low == figures()
