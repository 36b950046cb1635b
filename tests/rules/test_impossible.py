"""Answers that cannot all be true are kept, told at each of them, and no verdict rests on them."""

from __future__ import annotations

from typing import Any

import pytest

from heaterapp.rules import BadAnswer, Job, assess, catalog
from heaterapp.rules.impossible import PAIRS, impossible

TANK = {"heater_kind": "gas_storage", "strap_kind": "steel_strap", "tank_base_in": 18, "tank_height_in": 54}
VENT = {"heater_kind": "gas_storage", "draft_kind": "draft_hood", "vent_kind": "type_b", "vent_end": "roof", "connector_kind": "single_wall"}
SHARED = {**VENT, "vent_shared": "yes"}
PIPE = {"heater_kind": "gas_storage", "job_kind": "new", "gas_pipe_material": "steel"}
EXPANSION = {"heater_kind": "gas_storage", "expansion_device": "tank"}

# the answers they stand among, those that contradict one another, and the same exactly at the edge
CLASHES: list[tuple[dict[str, Any], dict[str, Any], dict[str, Any]]] = [
    (TANK, {"strap_heights_in": [30, "72.5"]}, {"strap_heights_in": [30, 72]}),
    (TANK, {"controls_top_in": "72.5"}, {"controls_top_in": 72}),
    (TANK, {"storage_gal": 60, "tank_diameter_in": 18, "tank_height_in": 54}, {"storage_gal": 59, "tank_diameter_in": 18, "tank_height_in": 54}),
    (VENT, {"connector_rise_in": 121, "vent_height_ft": 10}, {"connector_rise_in": 120, "vent_height_ft": 10}),
    (VENT, {"vent_lateral_ft": 0, "vent_elbows_90": 1}, {"vent_lateral_ft": "0.5", "vent_elbows_90": 1}),
    (VENT, {"vent_lateral_ft": 0, "vent_elbows_45": 2}, {"vent_lateral_ft": 0, "vent_elbows_45": 0}),
    (SHARED, {"common_vent_offset_ft": "0.5", "common_vent_elbows_90": 0, "common_vent_elbows_45": 0}, {"common_vent_offset_ft": 0, "common_vent_elbows_90": 0, "common_vent_elbows_45": 0}),
    ({**SHARED, "connectors_manifolded": "no"}, {"common_vent_offset_ft": 4, "common_vent_elbows_90": 1, "common_vent_elbows_45": 0}, {"common_vent_offset_ft": 4, "common_vent_elbows_90": 1, "common_vent_elbows_45": 1}),
    (PIPE, {"gas_pressure_drop_inwc": "7", "gas_supply_pressure_psi": "0.25"}, {"gas_pressure_drop_inwc": "6.925", "gas_supply_pressure_psi": "0.25"}),
    (EXPANSION, {"precharge_psi": 151, "expansion_tank_rating_psi": 150}, {"precharge_psi": 150, "expansion_tank_rating_psi": 150}),
    ({"heater_kind": "gas_storage", "mixing_valve_fitted": "yes"}, {"mixed_outlet_f": 131, "thermostat_f": 130}, {"mixed_outlet_f": 130, "thermostat_f": 130}),
    (VENT, {"connector_length_ft": 5, "vent_lateral_ft": 4}, {"connector_length_ft": 4, "vent_lateral_ft": 4}),
    (SHARED, {"connector_vertical_rise_ft": 21, "vent_above_draft_hood_ft": 20}, {"connector_vertical_rise_ft": 20, "vent_above_draft_hood_ft": 20}),
    (SHARED, {"other_connector_vertical_rise_ft": 21, "vent_above_draft_hood_ft": 20}, {"other_connector_vertical_rise_ft": 20, "vent_above_draft_hood_ft": 20}),
    (SHARED, {"vent_above_draft_hood_ft": 21, "vent_height_ft": 20}, {"vent_above_draft_hood_ft": 20, "vent_height_ft": 20}),
    (SHARED, {"common_vent_elbows_90": 2, "vent_elbows_90": 1}, {"common_vent_elbows_90": 1, "vent_elbows_90": 1}),
    (SHARED, {"common_vent_elbows_45": 2, "vent_elbows_45": 1}, {"common_vent_elbows_45": 1, "vent_elbows_45": 1}),
    ({**TANK, "short_period_sds": "1.2"}, {"floor_height_ft": 31, "roof_height_ft": 30}, {"floor_height_ft": 30, "roof_height_ft": 30}),
    (TANK, {"heater_height_in": 53}, {"heater_height_in": 54}),
]  # fmt: skip
DECIDED = {"meets", "fails", "authority", "engineer"}


def test_every_contradiction_is_shown() -> None:
    assert len(CLASHES) == len(PAIRS)


@pytest.mark.parametrize(("among", "clash", "edge"), CLASHES)
def test_it_is_told_at_each_and_judged_by_nobody(among: dict[str, Any], clash: dict[str, Any], edge: dict[str, Any]) -> None:
    answers = {"place": "model_upc_2021", **among, **clash}
    job = Job(answers)
    told = impossible(job.values, job.look)
    assert set(clash) <= set(told)
    report = assess(answers)
    flagged = {flag["question"]: flag["says"] for flag in report.flags}
    assert all(said in flagged[name] and flagged[name].endswith("Measure again.") for name, said in told.items())
    required = {check.name: {a.name for a in check.contract.arguments if a.required} for check in catalog.all_checks()}
    for finding in report.findings:
        assert finding.verdict != "error"
        if required[finding.check] & set(told):
            assert finding.verdict not in DECIDED, finding.check
    assert report.outcome != "ready"
    for name in clash:
        waiting = [f for f in report.findings if name in f.missing]
        assert all(told[name].split(".")[0] in f.why for f in waiting)
    assert not impossible(Job({**answers, **edge}).values, Job({**answers, **edge}).look)


def test_a_tank_does_not_hold_more_than_its_jacket() -> None:
    # pi / 4 x 20^2 x 45 / 231 = 61.2 gal, with no steel and no foam in it
    told = {**TANK, "tank_height_in": 45, "tank_diameter_in": 20, "storage_gal": 66}
    said = impossible(Job(told).values, Job(told).look)
    assert said["storage_gal"] == "66 gal do not go into a jacket 20 in across and 45 in high: the whole of it is 61.2 gal."
    assert set(said) == {"storage_gal", "tank_diameter_in", "tank_height_in"}
    assert not impossible(Job({**told, "storage_gal": 61}).values, Job({**told, "storage_gal": 61}).look)


def test_what_is_not_asked_contradicts_nothing() -> None:
    electric = {"heater_kind": "electric_storage", "vent_lateral_ft": 0, "vent_elbows_90": 3}
    job = Job(electric)
    assert not impossible(job.values, job.look)


def test_a_heat_pump_may_be_strapped_above_its_tank() -> None:
    job = Job({**TANK, "heater_kind": "heat_pump_storage", "strap_heights_in": [30, 80]})
    assert not impossible(job.values, job.look)


@pytest.mark.parametrize(
    ("answers", "key"),
    [({"thermostat_f": 45, "cold_inlet_f": 50, "heater_kind": "gas_storage"}, "thermostat_f"), ({"strap_heights_in": [10, 40], "tank_base_in": 18}, "strap_heights_in"),
     ({"expansion_tank_gal": 2, "expansion_acceptance_gal": 3}, "expansion_acceptance_gal"), ({"controls_top_in": 20, "controls_bottom_in": 21}, "controls_bottom_in")],
)  # fmt: skip
def test_what_stands_side_by_side_is_refused_by_name(answers: dict[str, Any], key: str) -> None:
    with pytest.raises(BadAnswer) as refused:
        assess({"place": "model_upc_2021", **answers})
    assert refused.value.key == key


def test_a_contradiction_is_told_once_though_several_questions_stand_in_it() -> None:
    answers = {
        **SHARED, "place": "model_upc_2021", "vent_above_draft_hood_ft": 10, "connector_vertical_rise_ft": 11,
        "other_connector_vertical_rise_ft": 12, "vent_exposed_outdoors": "no",
    }  # fmt: skip
    (finding,) = [f for f in assess(answers).findings if f.check == "venting.other_connector_capacity"]
    assert {"vent_above_draft_hood_ft", "other_connector_vertical_rise_ft"} <= set(finding.missing)
    assert finding.why.count("the other connector rises above") == 1


@pytest.mark.parametrize(("joined", "told"), [("no", True), ("yes", False), ("unknown", False), (None, False)])
def test_one_elbow_in_the_common_vent_is_a_turn_upward_where_the_connectors_join_before_it(joined: str | None, told: bool) -> None:
    job = Job({**SHARED, "common_vent_offset_ft": 4, "common_vent_elbows_90": 1, "common_vent_elbows_45": 0, "connectors_manifolded": joined})
    assert bool(impossible(job.values, job.look)) is told
    into_a_chimney = Job({**job.values, "vent_kind": "masonry_lined", "vent_end": "chimney_top"})
    assert not impossible(into_a_chimney.values, into_a_chimney.look)
