"""Answers stored by another version are read as far as they can be, and the rest is named."""

from __future__ import annotations

from heaterapp.rules import Job, asked_only, readable


def test_what_this_version_reads_is_kept_whole() -> None:
    stored = {"place": "us_ca_2022", "house_pressure_psi": "60", "accepted_as_usual": ["cold_shutoff"], "cold_shutoff": "full_way"}
    assert readable(stored) == (stored, {})


def test_a_retired_question_and_a_refused_value_are_left_out_and_named() -> None:
    kept, refused = readable({"heater_kind": "gas_storage", "gone_question": "12", "house_pressure_psi": "much", "storage_gal": "50"})
    assert kept == {"heater_kind": "gas_storage", "storage_gal": "50"}
    assert set(refused) == {"gone_question", "house_pressure_psi"}
    assert "number" in refused["house_pressure_psi"]


def test_answers_that_no_longer_go_together_lose_the_one_that_is_named() -> None:
    kept, refused = readable({"tank_base_in": "18", "strap_heights_in": ["12", "45"]})
    assert kept == {"tank_base_in": "18"}
    assert set(refused) == {"strap_heights_in"}


def test_what_was_taken_as_usual_and_is_measured_now_never_passes_for_measured() -> None:
    kept, refused = readable(
        {"house_pressure_psi": "60", "cold_shutoff": "full_way", "gone": "1", "accepted_as_usual": ["cold_shutoff", "gone", "house_pressure_psi"]}
    )
    assert kept == {"cold_shutoff": "full_way", "accepted_as_usual": ["cold_shutoff"]}
    assert set(refused) == {"gone", "house_pressure_psi"}
    assert Job(kept).accepted_as_usual == ("cold_shutoff",)


def test_an_acceptance_that_cannot_be_read_is_no_acceptance() -> None:
    kept, refused = readable({"place": "us_ca_2022", "acceptances": {"relief.end_place": {"by": "Inspector"}}})
    assert kept == {"place": "us_ca_2022"}
    assert set(refused) == {"acceptances"}


def test_what_was_left_over_from_another_heater_or_part_is_not_asked() -> None:
    told = asked_only(
        {
            "heater_kind": "gas_instantaneous", "storage_gal": "40", "strap_heights_in": ["36", "68"], "mixing_valve_fitted": "no",
            "mixed_outlet_f": "120", "house_pressure_psi": "60", "gone_question": "x", "accepted_as_usual": [],
        }
    )
    assert set(told) == {"heater_kind", "mixing_valve_fitted", "house_pressure_psi", "gone_question", "accepted_as_usual"}


def test_amendments_of_another_place_than_the_job_s_are_left_out_and_named() -> None:
    own = {
        "name": "port_larkin_water", "title": "Port Larkin amendments", "version": 1, "on": "2026-11-01", "base": "us_ca_2022",
        "clauses": {}, "silent": {"supply.pressure_limit": "The town asks for none."},
    }  # fmt: skip
    stored = {"place": "us_ca_2022", "amendments": own}
    assert readable(stored) == (stored, {})
    kept, refused = readable({**stored, "place": "model_upc_2021"})
    assert kept == {"place": "model_upc_2021"}
    assert set(refused) == {"amendments"}
