"""Currents, breakers and wires against trade worked examples and the decision table.

The numbers handed to the functions are the electrical code's, as read in secondary
pages: standard ratings (NEC 240.6), small-conductor caps (240.4(D)), copper ampacity
(Table 310.16, 2023), 125 percent (422.10(A)), 20 A up to 13.3 A and 150 percent (422.11(E)).
"""

from decimal import ROUND_UP, Decimal, localcontext

import pytest

from heaterapp.rules.calc import electrical as el

D = Decimal
STANDARD = tuple(map(D, (15, 20, 25, 30, 35, 40, 45, 50, 60, 70, 80, 90, 100, 110, 125)))
CAPS = {14: D(15), 12: D(20), 10: D(30)}
SIXTY = dict(zip((14, 12, 10, 8, 6, 4), map(D, (15, 20, 30, 40, 55, 70)), strict=True))
SEVENTY_FIVE = dict(zip((14, 12, 10, 8, 6, 4), map(D, (20, 25, 35, 50, 65, 85)), strict=True))
SMALL = (D("13.3"), D(20))
V240 = D(240)


def largest(load, marked=None):
    return el.largest_breaker(load, D("1.5"), *SMALL, STANDARD, marked)


# watts at 240 V: I, 1.25 I, smallest breaker, 1.5 I, largest breaker, copper for the
# smallest at 60 C and at 75 C. Worked out from the rules by hand.
DECISIONS = [
    ("3.5", "14.58", "18.23", 20, "21.88", 25, 12, 12),
    ("3.8", "15.83", "19.79", 20, "23.75", 25, 12, 12),
    ("4.5", "18.75", "23.44", 25, "28.13", 30, 10, 10),
    ("5.5", "22.92", "28.65", 30, "34.38", 35, 10, 10),
    ("6", "25.00", "31.25", 35, "37.50", 40, 8, 8),
    ("9", "37.50", "46.88", 50, "56.25", 60, 6, 8),
]


@pytest.mark.parametrize(
    ("kilowatts", "load", "needed", "least", "most", "top", "wire_60", "wire_75"), DECISIONS
)
def test_decision_table(kilowatts, load, needed, least, most, top, wire_60, wire_75):
    current = el.amperes(D(kilowatts), V240, V240)
    hundredth = D("0.005")  # half a printed unit
    assert abs(current - D(load)) <= hundredth
    assert abs(current * D("1.25") - D(needed)) <= hundredth
    assert abs(current * D("1.5") - D(most)) <= hundredth
    breaker = el.smallest_breaker(current, D("1.25"), STANDARD)
    assert breaker == least
    assert largest(current) == top
    for column, wire in ((SIXTY, wire_60), (SEVENTY_FIVE, wire_75)):
        found = el.smallest_wire(current * D("1.25"), breaker, column, STANDARD, CAPS)
        assert found == wire


def test_published_4500_watt_example():
    # A trade magazine's code questions (ecmweb.com 20899335): 4,500 W at 240 V is 18.75 A; 23.44 A
    # for the conductor, 10 AWG; 28 A, so a 30 A breaker
    current = el.amperes(D("4.5"), V240, V240)
    assert current == D("18.75")
    assert el.smallest_wire(current * D("1.25"), D(30), SIXTY, STANDARD, CAPS) == 10
    assert largest(current) == 30


def test_published_5500_watt_example():
    # An electricians' forum on the 2014 code, no better source found: 22.9 A; 150 percent, then 35 A
    # with 8 AWG; 125 percent, then 30 A with 10 AWG
    current = el.amperes(D("5.5"), V240, V240)
    assert round(current, 1) == D("22.9")
    assert el.smallest_breaker(current, D("1.25"), STANDARD) == 30
    assert el.smallest_wire(current * D("1.25"), D(30), SIXTY, STANDARD, CAPS) == 10
    assert largest(current) == 35
    assert el.smallest_wire(current * D("1.25"), D(35), SIXTY, STANDARD, CAPS) == 8


def test_a_240_volt_element_on_208_volts():
    power = el.kilowatts_at(D("5.5"), V240, D(208))
    # 0.7511 of 5,500 W by hand; a label prints 4,125 W
    assert round(power, 3) == D("4.131")
    assert abs(power / D("4.125") - 1) < D("0.0015")
    # (208 / 240)^2 = 0.7511; current falls with voltage, 4500 x 208 / 240^2 = 16.25 exactly
    assert round(el.kilowatts_at(D(1), V240, D(208)), 4) == D("0.7511")
    assert el.amperes(D("4.5"), V240, D(208)) == D("16.25")


def test_watts_stated_at_208_volts_are_another_heater():
    stated_there = el.amperes(D("4.5"), D(208), D(208))
    stated_at_240 = el.amperes(D("4.5"), V240, D(208))
    assert round(stated_there, 2) == D("21.63")
    assert round(stated_there / stated_at_240, 2) == D("1.33")


def test_circuits_share_the_load():
    assert el.amperes(D(27), V240, V240, D(3)) == D("37.5")
    assert el.amperes(D(27), V240, V240) == D("112.5")


@pytest.mark.parametrize(("kilowatts", "btuh"), [("4.5", 15355), ("5.5", 18767), ("0", 0)])
def test_heat_input(kilowatts, btuh):  # 3,412.14 Btu/h to the kilowatt, by hand
    assert round(el.heat_input(D(kilowatts))) == btuh


def test_the_btu_is_the_international_table_one():
    # A pound of water through 1 degF at 4,186.8 J/kg K, the table's calorie: 1055.05585262 J
    btu = D("0.45359237") * D("4186.8") / D("1.8")
    assert abs(el.heat_input(D(1)) * btu - 3_600_000) < D("1e-18")


@pytest.mark.parametrize(
    ("needed", "size"),
    [("0", 15), ("15", 15), ("15.01", 20), ("50", 50), ("50.01", 60), ("125", 125), ("126", None)],
)
def test_next_standard_size(needed, size):  # 55 is not a standard rating
    assert el.next_standard_size(D(needed), STANDARD) == size
    assert el.next_standard_size(D(needed), reversed(STANDARD)) == size


def test_past_the_end_of_the_list_there_is_no_breaker():
    assert el.smallest_breaker(D("100.1"), D("1.25"), STANDARD) is None
    assert el.smallest_breaker(D(100), D("1.25"), STANDARD) == 125
    assert largest(D(84)) is None


@pytest.mark.parametrize(
    ("load", "marked", "most"),
    [
        ("13.3", None, 20),
        ("13.31", None, 20),  # 19.97 A
        ("13.34", None, 25),  # 20.01 A
        ("1", None, 20),
        ("18.75", "25", 25),
        ("10", "15", 15),
    ],
)
def test_largest_breaker(load, marked, most):
    assert largest(D(load), None if marked is None else D(marked)) == most


def test_the_small_load_is_decided_before_the_factor():
    assert el.largest_breaker(D("13.3"), D(3), *SMALL, STANDARD) == 20
    assert el.largest_breaker(D("13.31"), D(3), *SMALL, STANDARD) == 40


@pytest.mark.parametrize(
    ("wire", "column", "limit"),
    [
        (14, SEVENTY_FIVE, 15),
        (12, SEVENTY_FIVE, 20),
        (10, SEVENTY_FIVE, 30),
        (8, SIXTY, 40),
        (6, SIXTY, 60),  # 55 A is not a standard rating: the next one up
        (6, SEVENTY_FIVE, 70),
        (4, SIXTY, 70),
    ],
)
def test_breaker_limit_of_wire(wire, column, limit):
    carries = el.ampacity(wire, column)
    assert el.breaker_limit_of_wire(carries, STANDARD, CAPS.get(wire)) == limit


def test_a_size_the_table_does_not_have():
    assert el.ampacity(2, SIXTY) is None
    assert el.ampacity(D(10), SIXTY) == 30
    assert el.breaker_limit_of_wire(D(126), STANDARD) is None


@pytest.mark.parametrize(
    ("needed", "breaker", "wire"),
    [
        ("30", "30", 10),
        ("30.01", "30", 8),
        ("20", "25", 10),  # 12 AWG carries it and its cap is 20 A
        ("55", "60", 6),
        ("70", "70", 4),
        ("70.01", "70", None),
        ("60", "80", None),
    ],
)
def test_smallest_wire(needed, breaker, wire):
    found = el.smallest_wire(D(needed), D(breaker), SIXTY, iter(STANDARD), CAPS)
    assert found == wire


def test_a_wire_past_the_standard_ratings_is_not_offered():
    assert el.smallest_wire(D(60), D(60), {1: D(70)}, (D(50), D(60)), {}) is None


@pytest.mark.parametrize(
    ("call", "words"),
    [
        (lambda: el.kilowatts_at(D(-1), V240, V240), "rated_kw must be from 0 to 1000 kW, not -1"),
        (lambda: el.kilowatts_at(D(1), D(0), V240), "rated_volts must be from 1 to 1000 V, not 0"),
        (lambda: el.kilowatts_at(D(1), V240, D(1001)), "volts must be from 1 to 1000 V, not 1001"),
        (lambda: el.amperes(D(1), V240, V240, D(0)), "circuits must be a whole number, 1 or more"),
        (lambda: el.amperes(D(1), V240, V240, D("1.5")), "circuits must be a whole number"),
        (lambda: el.amperes(D("NaN"), V240, V240), "rated_kw must be"),
        (lambda: el.heat_input(D(1001)), "kilowatts must be"),
        (lambda: el.next_standard_size(D(-1), STANDARD), "needed_a must be from 0 to 10000 A"),
        (lambda: el.smallest_breaker(D(-1), D("1.25"), STANDARD), "load_a must be"),
        (lambda: el.smallest_breaker(D(1), D("0.9"), STANDARD), "continuous_factor must be from 1"),
        (lambda: el.smallest_breaker(D(1), D("2.1"), STANDARD), "to 2 times the load, not 2.1"),
        (lambda: el.largest_breaker(D(-1), D(1), *SMALL, STANDARD), "load_a must be"),
        (lambda: el.largest_breaker(D(1), D("3.1"), *SMALL, STANDARD), "most_factor must be"),
        (lambda: el.largest_breaker(D(1), D(1), D(-1), D(20), STANDARD), "small_load_a must be"),
        (lambda: el.largest_breaker(D(1), D(1), D(13), D(-1), STANDARD), "small_load_breaker_a must"),
        (lambda: largest(D(1), D(-1)), "marked_max_a must be"),
        (lambda: el.breaker_limit_of_wire(D(-1), STANDARD), "ampacity_a must be"),
        (lambda: el.breaker_limit_of_wire(D(1), STANDARD, D(-1)), "small_wire_cap_a must be"),
        (lambda: el.smallest_wire(D(-1), D(1), SIXTY, STANDARD, CAPS), "needed_a must be"),
        (lambda: el.smallest_wire(D(1), D(-1), SIXTY, STANDARD, CAPS), "breaker_a must be"),
    ],
)
def test_an_argument_outside_its_range_is_named(call, words):
    with pytest.raises(ValueError, match=words.replace(".", r"\.")):
        call()


def test_the_callers_context_changes_nothing():
    with localcontext() as coarse:
        coarse.prec, coarse.rounding = 3, ROUND_UP
        low = el.amperes(D("5.5"), V240, V240), el.heat_input(D("4.5"))
    assert low == (el.amperes(D("5.5"), V240, V240), el.heat_input(D("4.5")))
