"""Numbers as people type them."""

from __future__ import annotations

from decimal import Decimal

import pytest

from heaterapp.rules.units import Unreadable, eighths, parse_length, parse_quantity, plain, rounded


@pytest.mark.parametrize(
    ("typed", "inches"),
    [
        ("14 3/8", "14.375"), ('14-3/8"', "14.375"), ("1' 2\"", "14"), ("5½", "5.5"), ("14.375", "14.375"),
        ("1 ft 2 in", "14"), ("1'-2 1/2\"", "14.5"), ("3/4", "0.75"), ("¾ in", "0.75"), (" 60 ", "60"), (".5", "0.5"),
        ("5’ 3”", "63"), ("2 feet", "24"), ("14 3/8 inches", "14.375"), ("0", "0"), ("1,200", "1200"), ("3⁄4", "0.75"),
    ],
)  # fmt: skip
def test_a_length_is_read_as_a_tape_is_read(typed: str, inches: str) -> None:
    assert parse_length(typed) == Decimal(inches)


@pytest.mark.parametrize(
    ("typed", "feet"), [("12", "12"), ("12' 6\"", "12.5"), ("6 in", "0.5"), ("12.5 ft", "12.5")]
)
def test_a_length_in_feet(typed: str, feet: str) -> None:
    assert parse_length(typed, "ft") == Decimal(feet)


@pytest.mark.parametrize(
    "typed",
    [
        "",
        "abc",
        "1//2",
        "٣",
        "１２",
        "14 3",
        "1/0",
        "1e5",
        "nan",
        "inf",
        "1,5",
        "1 2 3",
        "--5",
        "5 feet feet",
        "1.5 1/2",
        "0x10",
        "1_000",
        "x" * 41,
        "½½",
        "'",
        "/",
        "'5",
    ],
)
def test_what_is_not_a_length_is_refused_with_an_example(typed: str) -> None:
    with pytest.raises(Unreadable):
        parse_length(typed)


@pytest.mark.parametrize(
    ("typed", "unit", "value"),
    [
        ("60", "psi", "60"), ("60 psig", "psi", "60"), ("60psi", "psi", "60"), ("120 °F", "degF", "120"), ("120F", "degF", "120"),
        ("60 C", "degF", "140"), ("40,000 Btu/h", "Btu/h", "40000"), ("4.5kW", "kW", "4.5"), ("3/4", "psi", "0.75"), ("30 A", "A", "30"),
    ],
)  # fmt: skip
def test_a_unit_may_stand_behind_the_number(typed: str, unit: str, value: str) -> None:
    assert parse_quantity(typed, unit) == Decimal(value)


@pytest.mark.parametrize(
    ("typed", "value"),
    [("20x20x8", "3200"), ("20 X 20 \u00d7 8", "3200"), ("20' x 12' 6\" x 8'", "2000"), ("20 * 12 * 8 ft3", "1920"),
     ("20 by 12 by 8", "1920"), ("3,200 cu ft", "3200"), ("7.5x8x0", "0")],
)  # fmt: skip
def test_a_room_s_volume_is_read_as_its_sides_too(typed: str, value: str) -> None:
    assert parse_quantity(typed, "ft3") == Decimal(value)


@pytest.mark.parametrize("typed", ["20x20", "2x2x2x2", "-2x-2x8", "20x20x", "x", "20x20xeight"])
def test_sides_that_make_no_room_are_refused(typed: str) -> None:
    with pytest.raises(Unreadable):
        parse_quantity(typed, "ft3")


def test_in_no_other_unit_are_numbers_multiplied() -> None:
    with pytest.raises(Unreadable):
        parse_quantity("2x2x2", "gal")


@pytest.mark.parametrize(("typed", "unit"), [("0,250", "psi"), ("0,125", "in"), ("-0,500", "ft"), ("00,250", "psi"), ("4,5 bar", "psi")])
def test_a_decimal_comma_is_refused_and_never_a_thousand(typed: str, unit: str) -> None:
    with pytest.raises(Unreadable, match=r"such as|a number in psi"):
        parse_quantity(typed, unit)


def test_kilopascals_are_converted_to_psi() -> None:
    assert plain(parse_quantity("552 kPa", "psi"), 1) == "80.1"


@pytest.mark.parametrize(
    ("typed", "unit", "value"),
    [
        ("4500 W", "kW", "4.5"), ("4500 watts", "kW", "4.5"), ("60 pounds", "psi", "60"), ("60 PSI.", "psi", "60"), ("#10", "AWG", "10"),
        ("10 ga", "AWG", "10"), ("10 AWG", "AWG", "10"), ("254 mm", "in", "10"), ("2.54 cm", "in", "1"), ("3048mm", "ft", "10"), ("2 1/2", "count", "2.5"),
    ],
)  # fmt: skip
def test_it_is_read_as_it_stands_on_plates_and_gauges(typed: str, unit: str, value: str) -> None:
    assert parse_quantity(typed, unit) == Decimal(value)


def test_bar_is_converted_to_psi() -> None:
    assert plain(parse_quantity("4 bar", "psi"), 2) == "58.02"


@pytest.mark.parametrize(
    ("typed", "unit"),
    [
        ("12/2", "AWG"), ("10/3", "AWG"), ("12-2", "AWG"), ("1/0", "AWG"), ("30/2", "A"), ("240/2", "V"), ("9/2", "kW"),
        ("80000/2", "Btu/h"), ("120/2", "psi"), ("12/2", "in"), ("4/4", "in"), ("36000/1", "Btu/h"), ("2026/1", "year"), ("24/2", "ga"),
    ],
)  # fmt: skip
def test_two_numbers_with_a_stroke_are_not_divided(typed: str, unit: str) -> None:
    with pytest.raises(Unreadable):
        parse_quantity(typed, unit)


@pytest.mark.parametrize(
    ("typed", "rise"),
    [("9/12", "9"), ("9:12", "9"), ("9 in 12", "9"), ("9", "9"), ("12/12", "12"), ("4 1/2 in 12", "4.5"), ("4½/12", "4.5"), ("6.5", "6.5")],
)
def test_a_roof_s_pitch_is_its_rise_in_twelve(typed: str, rise: str) -> None:
    assert parse_quantity(typed, "pitch") == Decimal(rise)


@pytest.mark.parametrize("typed", ["3/4", "9/10", "/12", "", "9/12/12", "9 feet"])
def test_what_is_no_pitch_is_refused_with_an_example(typed: str) -> None:
    with pytest.raises(Unreadable, match="9/12"):
        parse_quantity(typed, "pitch")


def test_a_cable_s_name_is_refused_with_what_to_type() -> None:
    with pytest.raises(Unreadable, match="of a cable marked 10/2 or 10-2 the first number"):
        parse_quantity("12/2", "AWG")


@pytest.mark.parametrize(
    ("value", "shown"),
    [
        ("14.375", "14 3/8"),
        ("0.5", "1/2"),
        ("60", "60"),
        ("14.38", "14.38"),
        ("0.0625", "1/16"),
        ("-2", "-2"),
    ],
)
def test_a_length_is_shown_as_a_tape_shows_it(value: str, shown: str) -> None:
    assert eighths(Decimal(value)) == shown


def test_what_is_shown_reads_back_as_the_same_length() -> None:
    for sixteenths in range(0, 400, 3):
        value = Decimal(sixteenths) / 16
        assert parse_length(eighths(value)) == value


@pytest.mark.parametrize(
    ("value", "step", "shown"),
    [
        ("0.5645", "0.001", "0.564"),
        ("0.5655", "0.001", "0.566"),
        ("-0.0001", "0.1", "0.0"),
        ("1234.5", "10", "1230"),
        ("1235", "10", "1240"),
    ],
)
def test_a_figure_is_rounded_half_even_to_its_step(value: str, step: str, shown: str) -> None:
    assert rounded(Decimal(value), Decimal(step)) == shown
