"""A job's answers: read exactly, refused clearly, stored plainly."""

from __future__ import annotations

from decimal import Decimal
from typing import Any

import pytest

from heaterapp.rules import BadAnswer, Job, assess
from heaterapp.rules.questions import CATALOGUE

GAS = {"heater_kind": "gas_storage"}


@pytest.mark.parametrize(
    ("key", "value"),
    [
        ("nonsense", 1), ("storage_gal", "abc"), ("storage_gal", True), ("storage_gal", Decimal("NaN")), ("storage_gal", Decimal("1e400")),
        ("storage_gal", [50]), ("storage_gal", {"value": 50}), ("storage_gal", "٥٠"), ("storage_gal", -5), ("storage_gal", 1.5),
        ("storage_gal", "9" * 10_000), ("prv_fitted", "maybe"), ("prv_fitted", True), ("prv_fitted", ["yes"]), ("heater_kind", "steam"),
        ("heater_kind", ["gas_storage"]), ("owner_name", 5), ("owner_name", "x" * 201), ("owner_name", "a\x00b"), ("work_date", "2026-02-30"),
        ("work_date", "26-2-3"), ("work_date", "２０２６-01-01"), ("strap_heights_in", "x"), ("strap_heights_in", [10, 10]),
        ("strap_heights_in", list(range(50))), ("work_space_in", [30]), ("work_space_in", [30, 30, 30]), ("gas_sections", [{"in": 1}]),
        ("gas_sections", "3/4"), ("house_pressure_psi", {"could_not_measure": ""}), ("house_pressure_psi", {"could_not": "x"}),
        ("acceptances", {"x": 1}), ("acceptances", {"relief.end_place": {"by": "A", "on": "20260314", "why": "B"}}), ("acceptances", {"relief.end_place": {"by": "A", "on": "soon", "why": "B"}}), ("accepted_as_usual", "x"),
        ("accepted_as_usual", ["house_pressure_psi"]), ("accepted_as_usual", ["nonsense"]), ("owner_name", "\ud800"),
    ],
)  # fmt: skip
def test_an_unreadable_answer_is_refused_naming_its_key(key: str, value: Any) -> None:
    with pytest.raises(BadAnswer) as refused:
        Job({**GAS, key: value})
    assert refused.value.key == key
    assert refused.value.expected


UNSEEN = ("\u200b", "\u2063", "\u3164", "\xad", "\u2800", "\u115f \u200d", "\u202e", "\ufeff\ufe0f", "\U000e0041", " \u200e ")
SEEN = ("水", "\u0dc1\u0dca\u200d\u0dbb\u0dd3", "עמית", "12\u200b Oak", "\U0001f3e0", "가", "\U00016100", "-")
"""The last but one is a letter of a script that our Python does not know yet."""


def test_a_text_of_which_nothing_is_seen_is_no_answer_and_letters_of_any_script_are() -> None:
    for key in ("address_street", "address_city", "owner_name", "heater_serial", "installer_name"):
        for text in UNSEEN:
            with pytest.raises(BadAnswer, match=rf"^{key}: expected words that can be seen"):
                Job({key: text})
        assert [Job({key: text}).values[key] for text in SEEN] == list(SEEN)
    with pytest.raises(BadAnswer, match=r"^house_pressure_psi: "):
        Job({"house_pressure_psi": {"could_not_measure": "\u2800"}})


@pytest.mark.parametrize("key", ["circuit_count", "bedrooms", "connector_screws", "vent_elbows_90", "year_built"])
def test_a_part_of_a_thing_that_is_counted_is_refused(key: str) -> None:
    question = CATALOGUE[key]
    assert question.hard
    low = question.hard[0] + 1
    with pytest.raises(BadAnswer, match="a whole number from") as refused:
        Job({**GAS, key: str(low + Decimal("0.5"))})
    assert refused.value.key == key
    assert Job({**GAS, key: f"{low}.0"}).canonical()[key] == str(low)


@pytest.mark.parametrize(
    ("answers", "key"),
    [
        ({"tank_base_in": 18, "strap_heights_in": [10, 40]}, "strap_heights_in"),
        ({"tank_base_in": 18, "controls_top_in": 12}, "controls_top_in"),
        ({"controls_top_in": 12, "controls_bottom_in": 14}, "controls_bottom_in"),
        ({"cold_inlet_f": 80, "thermostat_f": 75}, "thermostat_f"),
        ({"expansion_tank_gal": 2, "expansion_acceptance_gal": "2.01"}, "expansion_acceptance_gal"),
    ],
)
def test_an_impossible_pair_is_refused(answers: dict[str, Any], key: str) -> None:
    with pytest.raises(BadAnswer) as refused:
        Job({**GAS, **answers})
    assert refused.value.key == key


def test_answers_are_stored_as_plain_json_and_read_back_the_same() -> None:
    job = Job(
        {
            **GAS, "tank_height_in": "58 3/8", "strap_heights_in": ["45 1/2", "16"], "prv_fitted": "unknown", "work_space_in": [30, "30.5"],
            "house_pressure_psi": {"could_not_measure": "gauge broke"}, "vent_flashing": "not_here", "ignition_height_in": "not_here",
            "gas_sections": [{"in": "3/4", "btuh": 120000}], "accepted_as_usual": ["relief_pressure_psi"], "work_date": "2026-11-25",
            "acceptances": {"relief.end_place": {"by": "Inspector", "on": "2026-11-25", "why": "as before"}},
        }
    )  # fmt: skip
    stored = job.canonical()
    assert stored["tank_height_in"] == "58.375"
    assert stored["strap_heights_in"] == ["16", "45.5"]
    assert stored["gas_sections"] == Job({**GAS, "gas_sections": [{"in": Decimal("7.5e-1"), "btuh": Decimal("1.2e5")}]}).canonical()["gas_sections"]
    assert stored["vent_flashing"] == "no"
    assert stored["ignition_height_in"] == "not_here"
    assert Job(stored).canonical() == stored


def test_an_empty_answer_is_no_answer() -> None:
    assert Job({**GAS, "storage_gal": "", "owner_name": None}).canonical() == GAS


def test_an_implausible_value_is_kept_and_flagged() -> None:
    report = assess({**GAS, "place": "model_upc_2021", "storage_gal": 400}).as_json()
    assert [f["question"] for f in report["flags"]] == ["storage_gal"]
    assert "400" in report["flags"][0]["says"]
    left_over = {**GAS, "place": "model_upc_2021", "heater_kind": "electric_storage", "storage_gal": 400, "input_btuh": 900_000}
    assert [f["question"] for f in assess(left_over).as_json()["flags"]] == ["storage_gal"], "no burner is there"


def test_a_default_applies_and_is_said_to_be_assumed() -> None:
    report = assess({**GAS, "place": "model_upc_2021", "storage_gal": 50, "thermostat_f": 120}).as_json()
    assert report["assumed"]["cold_inlet_f"] == "50"
    given = assess({**GAS, "place": "model_upc_2021", "cold_inlet_f": 40}).as_json()
    assert "cold_inlet_f" not in given["assumed"]


def test_a_question_this_heater_does_not_ask_is_not_asked() -> None:
    from heaterapp.rules.when import NOT_ASKED

    electric = Job({"heater_kind": "electric_storage", "vent_kind": "type_b"})
    assert electric.look("vent_kind") is NOT_ASKED
    assert Job({**GAS, "vent_kind": "type_b"}).look("vent_kind") == "type_b"


def test_every_question_has_a_label_a_section_and_readable_choices() -> None:
    for question in CATALOGUE.values():
        assert question.label, question.name
        assert question.section, question.name
        assert (question.kind == "choice") == bool(question.choices), question.name
        if question.kind == "number":
            assert question.hard, question.name
            for usual in question.usual:
                Job({question.name: usual})
