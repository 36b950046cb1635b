"""A decimal comma is read as a point where it can be nothing else, and refused with what to do where it may be more.

A comma before three digits stays one of thousands; a half-typed thousand, feet and inches, two heights in
one box, a cable's two numbers and a roof's rise in twelve are never a decimal number.
"""

from __future__ import annotations

import json
from decimal import Decimal
from typing import Any

import pytest
from werkzeug.datastructures import MultiDict

from heaterapp.filling import door
from heaterapp.filling.typed import read_one, read_typed, shown
from heaterapp.forms import section_form
from heaterapp.languages import speaking, told
from heaterapp.rules import CATALOGUE, BadAnswer
from heaterapp.rules.reading import read_answer

READ: list[tuple[str, str, str]] = [
    ("input_kw", "4,5", "4.5"), ("input_kw", " 4,5 ", "4.5"), ("input_kw", "4,50", "4.50"), ("input_kw", "0,75", "0.75"),
    ("expansion_tank_gal", "4,4", "4.4"), ("gas_running_inwc", "10,25", "10.25"), ("house_pressure_psi", "62,5", "62.5"),
    ("storage_gal", "47,5", "47.5"), ("thermostat_f", "119,5", "119.5"), ("minimum_circuit_a", "29,17", "29.17"),
    ("relief_end_height_in", "6,25", "6.25"), ("gas_pressure_drop_inwc", "0,5", "0.5"),
    # As before: a point, and a comma of thousands where there may be thousands.
    ("input_kw", "4.5", "4.5"), ("input_btuh", "40,000", "40000"), ("storage_gal", "1,000", "1000"),
    ("elevation_ft", "1,240", "1240"), ("room_volume_ft3", "1,240.5", "1240.5"), ("expansion_tank_gal", "4 1/2", "4.5"),
]  # fmt: skip
REFUSED: list[tuple[str, str]] = [
    # read as thousands, and so many there cannot be
    ("input_kw", "4,500"), ("house_pressure_psi", "4,500"), ("relief_end_height_in", "1,250"),
    # three digits, a zero before them, two commas, a point beside it, a half typed one, a sign, a unit, a fraction
    ("expansion_tank_gal", "0,250"), ("expansion_tank_gal", "00,5"), ("input_kw", "4,5,5"), ("input_kw", "4.5,5"), ("input_kw", "4,5.5"),
    ("input_kw", "4,"), ("input_kw", ",5"), ("connector_rise_in", "-4,5"), ("house_pressure_psi", "4,5 bar"), ("input_kw", "4,5 kW"),
    ("relief_end_height_in", "6,5 1/2"), ("input_kw", "4, 5"), ("input_kw", "4,٥"), ("input_kw", "4’5,5"), ("input_kw", "4,1234"),
    # a thousand that is not typed to its end
    ("input_btuh", "40,0"), ("input_btuh", "40,00"), ("room_volume_ft3", "1,24"), ("elevation_ft", "1,24"), ("gas_piping_test_min", "1,5"),
    # feet and inches, and both lengths in one box
    ("gas_pipe_length_ft", "5,11"), ("vent_height_ft", "12,5"), ("roof_pitch_in_12", "4,12"),
]  # fmt: skip
NO_DECIMALS = [("bedrooms", "2,5"), ("wire_awg", "12,2"), ("strap_gauge", "26,5")]
ENGLISH, SPANISH = "use a point for decimals, such as 4.5", "escriba los decimales con punto, como 4.5"


def _read(name: str, typed: Any) -> Any:
    return read_answer(CATALOGUE[name], typed)


@pytest.mark.parametrize(("name", "typed", "value"), READ)
def test_what_can_be_nothing_else_is_read(name: str, typed: str, value: str) -> None:
    assert _read(name, typed) == Decimal(value)


def test_it_is_stored_and_shown_back_with_a_point_on_both_ways_of_the_form() -> None:
    typed = {"input_kw": "4,5", "expansion_tank_gal": "4,4", "tank_base_in": "18,5"}
    stored = {name: read_one(name, text) for name, text in typed.items()}
    assert stored == {"input_kw": "4.5", "expansion_tank_gal": "4.4", "tank_base_in": "18.5"}
    on_line = {name: section_form(CATALOGUE[name].section)(MultiDict({name: text}))[name] for name, text in typed.items()}
    assert {name: field.data for name, field in on_line.items()} == stored
    assert [shown(CATALOGUE[name], said)[""] for name, said in stored.items()] == ["4.5", "4.4", "18 1/2"]
    told_so = json.loads(door.call(json.dumps({"do": "told", "answers": {}, "changes": {**typed, "house_pressure_psi": "4,500"}, "section": "electric"})))
    assert {name: told_so["answers"][name] for name in typed} == stored
    assert told_so["errors"]["house_pressure_psi"].endswith(ENGLISH)


def _said(name: str, typed: Any) -> tuple[str, str]:
    """What is wanted, in both languages."""
    with pytest.raises(BadAnswer) as bad:
        _read(name, typed)
    with speaking("es"):
        return bad.value.said, told("common", bad.value.said)


@pytest.mark.parametrize(("name", "typed"), REFUSED)
def test_what_may_be_more_is_refused_with_what_to_do(name: str, typed: str) -> None:
    english, spanish = _said(name, typed)
    assert english.endswith(f"; {ENGLISH}")
    assert spanish.endswith(f"; {SPANISH}")


@pytest.mark.parametrize(("name", "typed"), NO_DECIMALS)
def test_where_there_are_no_decimals_nobody_is_told_how_to_write_them(name: str, typed: str) -> None:
    assert "point" not in _said(name, typed)[0]


@pytest.mark.parametrize(("name", "typed"), [("strap_heights_in", ["16,45"]), ("strap_heights_in", ["16,5", "45"]), ("work_space_in", ["30,5", "30"])])
def test_a_box_of_several_lengths_takes_no_comma(name: str, typed: list[str]) -> None:
    assert _said(name, typed)[0].endswith(ENGLISH)


@pytest.mark.parametrize(
    ("name", "typed"),
    [("strap_heights_in", "16,5; 45,25"), ("strap_heights_in", "16; 45, 60"), ("strap_heights_in", "30,5"), ("strap_heights_in", "16,45"), ("work_space_in", "30,5")],
)  # fmt: skip
def test_lengths_in_one_text_take_no_comma_that_may_be_a_decimal_one(name: str, typed: str) -> None:
    english, spanish = _said(name, typed)
    assert english.endswith("; in one text, semicolons between them and a point for decimals, such as 16.5; 45")
    assert spanish.endswith("; en un solo texto, punto y coma entre ellas y los decimales con punto, como 16.5; 45")


def test_lengths_in_one_text_are_told_apart_by_a_semicolon_or_a_comma_and_a_space() -> None:
    assert _read("strap_heights_in", "45.25; 16.5") == _read("strap_heights_in", "16.5, 45.25") == (Decimal("16.5"), Decimal("45.25"))
    assert _read("work_space_in", "30;5") == (Decimal(30), Decimal(5))


def test_a_pipe_s_size_is_read_so_and_its_load_is_not() -> None:
    assert _read("gas_sections", [{"in": "0,75", "btuh": "120,000"}]) == ((Decimal("0.75"), Decimal(120000)),)
    for row in ({"in": "0,750", "btuh": "120000"}, {"in": "0.75", "btuh": "120,00"}):
        english, spanish = _said("gas_sections", [row])
        assert "with a point for decimals" in english
        assert "con punto" in spanish


TWO_READINGS = [
    ("elevation_ft", "5.280", "5280 or 5.28"), ("elevation_ft", " 5.000 ", "5000 or 5"), ("elevation_ft", "5.125", "5125 or 5.1250"),
    ("room_other_input_btuh", "80.000", "80000 or 80"), ("room_volume_ft3", "1.240", "1240 or 1.24"),
    ("gas_sections", [{"in": "0.750", "btuh": "120.000"}], "120000 or 120"),
]  # fmt: skip
ONE_READING = [
    ("elevation_ft", "5.28", "5.28"), ("elevation_ft", "0.528", "0.528"), ("elevation_ft", "5280", "5280"), ("elevation_ft", "5,280", "5280"),
    ("elevation_ft", "5.1250", "5.125"), ("elevation_ft", 5280, "5280"), ("elevation_ft", Decimal("5.125"), "5.125"),
    # No number asked for is above a thousand here; and rows of sizes say thousands in their loads alone.
    ("house_pressure_psi", "62.500", "62.5"), ("input_kw", "4.500", "4.5"),
    ("gas_sections", [{"in": "0.750", "btuh": "120,000"}], [{"in": "0.75", "btuh": "120000"}]),
]  # fmt: skip


@pytest.mark.parametrize(("name", "typed", "ways"), TWO_READINGS)
def test_a_point_that_may_stand_before_thousands_is_refused_with_both_ways(name: str, typed: Any, ways: str) -> None:
    with pytest.raises(BadAnswer) as bad:
        read_typed(name, typed)
    assert bad.value.said.startswith(f"{ways}: ")
    with speaking("es"):
        assert told("common", bad.value.said).startswith(ways.replace(" or ", " o ") + ": ")


@pytest.mark.parametrize(("name", "typed", "value"), ONE_READING)
def test_a_point_that_is_nothing_else_is_read(name: str, typed: Any, value: Any) -> None:
    assert read_typed(name, typed) == value


def test_what_was_read_once_keeps_its_point_and_both_ways_of_the_form_refuse_alike() -> None:
    stored = {"elevation_ft": "5.125", "air_intake_above_ground_in": "14.401", "gas_sections": [{"in": "0.5", "btuh": "80.125"}]}
    assert {name: read_one(name, held) for name, held in stored.items()} == stored
    boxes = {f"{name}{end}": text for name, held in stored.items() for end, text in shown(CATALOGUE[name], held).items()}
    for name, held in stored.items():
        field = section_form(CATALOGUE[name].section)(MultiDict(boxes), data=stored)[name]
        assert (field.data, field.process_errors) == (held, [])
    field = section_form("job")(MultiDict({"elevation_ft": "5.280"}))["elevation_ft"]
    told_so = json.loads(door.call(json.dumps({"do": "told", "answers": stored, "changes": {"elevation_ft": "5.280"}, "section": "job"})))
    assert told_so["answers"] == stored
    assert field.process_errors[0] == told_so["errors"]["elevation_ft"] == "5280 or 5.28: 5.280 may be read as either"
