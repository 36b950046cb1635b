"""What a known model fills in: its plate, as accepted; never a serial number, a measurement or a gas mark."""

from __future__ import annotations

import json
from pathlib import Path

import pytest

from heaterapp.filling.models import NAMED_BY, OF_A_MODEL, plate_of, taken_over
from heaterapp.rules import CATALOGUE, Job, assess

JOBS = Path(__file__).parent / "jobs"
NEVER = {"heater_serial", "heater_marked_gas", "conversion_kit_gas", "conversion_kit_fitted", "thermostat_f"}


def _answers(name: str) -> dict:
    whole = json.loads((JOBS / f"{name}.json").read_text(encoding="utf-8"))["answers"]
    return Job(whole).canonical()


def test_nothing_measured_and_no_number_of_one_heater_belongs_to_a_model() -> None:
    for name in NAMED_BY + OF_A_MODEL:
        assert not CATALOGUE[name].measured, name
        assert CATALOGUE[name].section == "plate" or name.startswith("listed_for"), name
    assert not NEVER & set(NAMED_BY + OF_A_MODEL)


@pytest.mark.parametrize("name", sorted(one.stem for one in JOBS.glob("*.json")))
def test_a_second_heater_of_the_model_is_filled_as_accepted(name: str) -> None:
    first = _answers(name)
    plate = plate_of(first)
    if not plate:
        assert not first.get("heater_model")
        return
    begun = {
        "heater_kind": first["heater_kind"],
        "place": first["place"],
        "heater_maker": first["heater_maker"],
    }
    changes = taken_over(begun, plate)
    second = Job({**begun, **changes})
    assert second.canonical()["heater_model"] == first["heater_model"]
    assert set(changes["accepted_as_usual"]) == set(plate) - set(NAMED_BY)
    for one in changes["accepted_as_usual"]:
        assert second.canonical()[one] == first[one]
    assert "heater_serial" not in changes
    assess(second)


def test_what_a_person_answered_stays_and_another_choice_takes_the_place_of_the_first() -> None:
    first = plate_of(_answers("gas_storage_us_ca"))
    begun = {"heater_kind": "gas_storage", "storage_gal": "75"}
    changes = taken_over(begun, first)
    assert "storage_gal" not in changes
    assert "storage_gal" not in changes["accepted_as_usual"]
    other = {
        "heater_kind": "gas_storage",
        "heater_model": "Tide 30",
        "input_btuh": "30000",
        "storage_gal": "30",
    }
    again = taken_over({**begun, **changes}, other)
    assert again["input_btuh"] == "30000"
    assert again["heater_model"] == "Tide 30"
    assert "storage_gal" not in again
    assert {*changes["accepted_as_usual"]} <= {*again["accepted_as_usual"]}


def test_another_kind_of_heater_or_no_name_gives_nothing() -> None:
    plate = plate_of(_answers("gas_storage_us_ca"))
    assert taken_over({"heater_kind": "electric_storage"}, plate) == {}
    assert plate_of({"heater_kind": "gas_storage", "heater_model": " ", "storage_gal": "40"}) == {}
    unread = {"heater_model": "A", "storage_gal": {"could_not_measure": "painted over"}}
    assert plate_of(unread) == {"heater_model": "A"}
