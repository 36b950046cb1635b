"""How verdicts should fall where the texts leave room: one row for each decision, and what it leans on.

The decisions are the house's own (the readings of an inspector and an engineer); the limits
in them stand in the books with their sources.
"""

from __future__ import annotations

import tomllib
from importlib.resources import files
from typing import Any

import pytest

from heaterapp.rules import assess
from tests import alone

UPC21, UPC24, IRC, CA = "model_upc_2021", "model_upc_2024", "model_irc_2021", "us_ca_2022"
BEFORE_2021 = ("model_upc_2015", "model_upc_2018")
SINCE_2021 = (UPC21, UPC24, CA)
UPC = (*BEFORE_2021, *SINCE_2021)
IRCS = ("model_irc_2015", "model_irc_2018", IRC)
IPC = ("model_ipc_2018", "model_ipc_2021")
ICC = (*IRCS, *IPC)
ALL = (*UPC, *ICC)
# Whose text names a pressure that expansion may not pass, and whose does not.
LIMITED = (UPC24, *IPC)
UNLIMITED = tuple(place for place in ALL if place not in LIMITED)
GUIDELESS = tuple(place for place in (*UPC, *IRCS) if place != CA)

GAS: dict[str, Any] = {"heater_kind": "gas_storage"}
ELECTRIC: dict[str, Any] = {"heater_kind": "electric_storage"}
TANK: dict[str, Any] = {
    **GAS, "storage_gal": 50, "thermostat_f": 140, "house_pressure_psi": 60, "prv_fitted": "yes", "prv_setting_psi": 60, "expansion_device": "tank",
    "expansion_tank_gal": 2, "precharge_psi": 60, "relief_fitted": "yes", "relief_pressure_psi": 150, "expansion_tank_rating_psi": 150,
}  # fmt: skip
RELIEF: dict[str, Any] = {**GAS, "relief_fitted": "yes", "relief_pipe_in": "3/4", "relief_outlet_in": "3/4"}
VENT: dict[str, Any] = {
    **GAS, "draft_kind": "draft_hood", "vent_category": "I", "vent_kind": "type_b", "vent_end": "roof", "listed_mark": "yes", "connector_kind": "single_wall",
    "connector_diameter_in": 3, "connector_length_ft": 30, "connector_rise_in": 0, "draft_hood_outlet_in": 3, "vent_diameter_in": 10, "vent_height_ft": 4,
    "manual_damper": "no",
}  # fmt: skip
STRAPS: dict[str, Any] = {
    **GAS, "storage_gal": 40, "dry_weight_lb": 125, "building_kind": "house", "seismic_design_category": "D", "strap_kind": "steel_strap", "strap_anchor": "lag_in_stud",
    "strap_heights_in": [12, 48], "tank_base_in": 0, "tank_height_in": 58, "tank_diameter_in": 18, "strap_width_in": "3/4", "strap_gauge": 24,
    "strap_wraps_tank": "yes", "wall_gap_in": 3, "gap_blocked": "no", "anchor_spacing_in": 16, "lag_diameter_in": "1/4", "lag_length_in": 3, "wall_cover_in": "1/2",
    "stud_species": "douglas_fir_larch",
}  # fmt: skip
CIRCUIT: dict[str, Any] = {
    **ELECTRIC, "storage_gal": 50, "volts": 240, "input_kw": "4.5", "input_kw_at_volts": 240, "breaker_a": 25, "wire_awg": 12, "wire_metal": "copper", "wire_method": "other",
    "wire_rating_c": 75, "terminal_rating_c": 75,
}  # fmt: skip
CLOSET: dict[str, Any] = {
    **GAS, "room": "closet", "room_used_for_storage": "no", "closet_opens_to_sleeping_or_bath": "yes", "closet_door": "sealed_self_closing", "closet_heater_only": "yes",
    "air_source": "outdoors_direct",
}  # fmt: skip
POWER_VENT = {"draft_kind": "power_vent", "vent_category": "III", "vent_kind": "plastic", "vent_end": "wall"}
ATTIC_CNM = {"could_not_measure": "cannot be seen from here"}

# what it shows | check | kind | answers | places -> verdict
ROWS: list[tuple[str, str, str, dict[str, Any], dict[Any, str]]] = [
    # Non-answers
    ("a check valve nobody can see: authority, no device", "expansion.control_on_closed_system", "rule", {**GAS, "expansion_device": "none", "prv_fitted": "no", "check_valve_upstream": "unknown", "backflow_preventer_upstream": "no"}, {ALL: "authority"}),
    ("pressure that rises on heating is the field proof", "expansion.control_on_closed_system", "rule", {**GAS, "expansion_device": "none", "prv_fitted": "no", "check_valve_upstream": "unknown", "backflow_preventer_upstream": "no", "pressure_rises_on_heating": "yes"}, {ALL: "fails"}),
    ("a roof figure that cannot be seen on a swap is open to the authority", "venting.end_above_roof", "rule", {**VENT, "job_kind": "same_place", "roof_pitch_in_12": 4, "vent_above_roof_in": ATTIC_CNM, "vent_to_wall_ft": 12}, {ALL: "authority"}),
    ("so is the height that the connector's length rests on", "venting.connector_length", "rule", {**VENT, "job_kind": "same_place", "vent_height_ft": ATTIC_CNM}, {ALL: "authority"}),
    ("so is a chimney's end", "venting.chimney_end", "rule", {**VENT, "job_kind": "same_place", "vent_kind": "masonry_lined", "vent_end": "chimney_top", "vent_above_roof_in": ATTIC_CNM, "vent_to_wall_ft": 12}, {ALL: "authority"}),
    # Water and expansion
    ("over the limit without a draw first: authority", "supply.pressure_within_limit", "rule", {"house_pressure_psi": 95, "drew_water_before_reading": "no"}, {ALL: "authority"}),
    ("within it without a draw: meets", "supply.pressure_within_limit", "rule", {"house_pressure_psi": 80, "drew_water_before_reading": "no"}, {ALL: "meets"}),
    ("over the limit after a draw: fails", "supply.pressure_within_limit", "rule", {"house_pressure_psi": 95, "drew_water_before_reading": "yes"}, {ALL: "fails"}),
    ("precharge 2 psi off meets", "expansion.precharge_matches_house", "rule", {**TANK, "precharge_psi": 58}, {ALL: "meets"}),
    ("... without advice", "expansion.precharge_matches_house", "advice", {**TANK, "precharge_psi": 58}, {ALL: "none"}),
    ("5 psi off meets", "expansion.precharge_matches_house", "rule", {**TANK, "precharge_psi": 65}, {ALL: "meets"}),
    ("... with advice", "expansion.precharge_matches_house", "advice", {**TANK, "precharge_psi": 65}, {ALL: "fails"}),
    ("beyond 5 fails", "expansion.precharge_matches_house", "rule", {**TANK, "precharge_psi": "65.1"}, {ALL: "fails"}),
    ("no house reading: the valve's setting is the target", "expansion.precharge_matches_house", "rule", {**TANK, "house_pressure_psi": None, "prv_setting_psi": 50, "precharge_psi": 50, "street_pressure_psi": 90}, {ALL: "meets"}),
    ("no valve either: the street's", "expansion.precharge_matches_house", "rule", {**TANK, "house_pressure_psi": None, "prv_fitted": "no", "prv_setting_psi": None, "precharge_psi": 70, "street_pressure_psi": 70}, {ALL: "meets"}),
    ("setting and reading more than 5 apart: advice about the valve", "supply.prv_holds_setting", "advice", {**TANK, "house_pressure_psi": 66}, {ALL: "fails"}),
    ("the air correction is advice", "expansion.precharge_air_corrected", "advice", {**TANK, "precharge_air_f": 110, "installed_air_f": 40}, {ALL: "fails"}),
    ("a tank too small for 80 psi fails where the book names it", "expansion.tank_large_enough", "rule", TANK, {LIMITED: "fails", UNLIMITED: "meets"}),
    ("... and is advice where it does not", "expansion.tank_large_enough", "advice", TANK, {LIMITED: "none", UNLIMITED: "fails"}),
    ("under a book that names none it fails at the lowest rated part", "expansion.tank_large_enough", "rule", {**TANK, "expansion_tank_rating_psi": 100}, {UNLIMITED: "fails"}),
    ("... at the relief setting", "expansion.tank_large_enough", "rule", {**TANK, "storage_gal": 80}, {UNLIMITED: "fails"}),
    ("... and when it cannot hold it", "expansion.tank_large_enough", "rule", {**TANK, "storage_gal": 120, "thermostat_f": 180, "expansion_tank_gal": 1}, {ALL: "fails"}),
    ("tankless under the UPC wants control too", "expansion.control_on_closed_system", "rule", {"heater_kind": "gas_instantaneous", "prv_fitted": "yes", "expansion_device": "none"}, {UPC: "fails", ICC: "not_applicable"}),
    ("for tankless the size does not apply", "expansion.tank_large_enough", "rule", {**TANK, "heater_kind": "gas_instantaneous"}, {ALL: "not_applicable"}),
    ("a tank hung on its pipe", "expansion.tank_supported", "rule", {**TANK, "expansion_tank_support": "pipe_only"}, {LIMITED: "fails", UNLIMITED: "authority"}),
    ("above 120 F without a mixing valve: advice", "temperature.scald_guard", "advice", {"thermostat_f": 121, "mixing_valve_fitted": "no", "heats_space_too": "no"}, {ALL: "fails"}),
    ("... and no rule", "temperature.scald_guard", "rule", {"thermostat_f": 150, "mixing_valve_fitted": "no", "heats_space_too": "no"}, {ALL: "none"}),
    ("combined heating over 140 F is a rule where the book says so (from memory, so authority)", "temperature.scald_guard", "rule", {"thermostat_f": 141, "mixing_valve_fitted": "no", "heats_space_too": "yes"}, {IRCS: "authority", IPC: "fails", UPC: "none"}),
    ("a low first-hour rating on a swap: authority", "heater.first_hour_rating", "rule", {**GAS, "job_kind": "same_place", "first_hour_gal": 30, "bathrooms": 3, "bedrooms": 4}, {UPC: "authority"}),
    ("... on a new installation it fails", "heater.first_hour_rating", "rule", {**GAS, "job_kind": "new", "first_hour_gal": 30, "bathrooms": 3, "bedrooms": 4}, {UPC: "fails"}),
    ("pipe insulation is advice", "supply.pipes_insulated", "advice", {"pipe_insulation_ft": 0}, {ALL: "fails"}),
    # Relief pipe
    ("IRC height is for floor, pan or rim: outdoors another height is authority", "relief.end_height", "rule", {**RELIEF, "relief_end": "outdoors", "relief_end_height_in": 12}, {ICC: "authority", UPC: "meets"}),
    ("at the floor the IRC's range binds", "relief.end_height", "rule", {**RELIEF, "relief_end": "floor", "relief_end_height_in": 12}, {ICC: "fails", UPC: "silent"}),
    ("the air gap is asked toward drainage", "relief.air_gap", "rule", {**RELIEF, "relief_end": "receptor", "relief_air_gap": "no"}, {ALL: "fails"}),
    ("a hard pipe outdoors has its gap at the open end", "relief.air_gap", "rule", {**RELIEF, "relief_end": "outdoors"}, {ALL: "not_applicable"}),
    ("UPC with the end at a garage floor: authority", "relief.end_place", "rule", {**RELIEF, "room": "garage", "relief_end": "floor"}, {UPC: "authority", ICC: "meets"}),
    ("into the pan: fails under the UPC", "relief.end_place", "rule", {**RELIEF, "relief_end": "pan", "pan_fitted": "yes", "pan_drain_end": "outdoors"}, {UPC: "fails", ICC: "meets"}),
    ("into a pan without a drain", "relief.end_place", "rule", {**RELIEF, "relief_end": "pan", "pan_fitted": "yes", "pan_drain_end": "none"}, {UPC: "fails", ICC: "authority"}),
    ("tankless: no temperature element asked", "relief.temperature_setting", "rule", {"heater_kind": "gas_instantaneous", "relief_fitted": "yes"}, {ALL: "not_applicable"}),
    ("tankless: nor a place near the top", "relief.valve_near_top", "rule", {"heater_kind": "electric_instantaneous", "relief_fitted": "yes"}, {ALL: "not_applicable"}),
    ("tankless without a valve: exempt under the UPC, authority under the IRC", "relief.valve_fitted", "rule", {"heater_kind": "gas_instantaneous", "relief_fitted": "no"}, {UPC: "not_applicable", ICC: "authority"}),
    ("an old valve on a new heater fails", "relief.valve_new", "rule", {**RELIEF, "job_kind": "same_place", "relief_valve_new": "no"}, {ALL: "fails"}),
    ("freezing fails under the UPC", "relief.no_freezing", "rule", {**RELIEF, "relief_end": "outdoors", "relief_freezes": "yes"}, {UPC: "fails", ICC: "none"}),
    ("... and is advice under the IRC", "relief.no_freezing", "advice", {**RELIEF, "relief_end": "outdoors", "relief_freezes": "yes"}, {ICC: "fails", UPC: "none"}),
    # Fuel, electric
    ("marked for one gas on the other without its kit", "gas.fuel_matches", "rule", {**GAS, "gas_kind": "natural", "heater_marked_gas": "propane", "conversion_kit_fitted": "no"}, {ALL: "fails"}),
    ("with its listed kit", "gas.fuel_matches", "rule", {**GAS, "gas_kind": "natural", "heater_marked_gas": "propane", "conversion_kit_fitted": "yes", "conversion_kit_gas": "natural"}, {ALL: "meets"}),
    ("125 % for storage to 120 gal: a 20 A breaker is short of 23.4 A", "electric.breaker", "rule", {**CIRCUIT, "breaker_a": 20}, {ALL: "fails"}),
    ("over 120 gal it is not asked", "electric.breaker", "rule", {**CIRCUIT, "storage_gal": "120.1", "breaker_a": 20}, {ALL: "meets"}),
    ("exactly 120 gal it is", "electric.breaker", "rule", {**CIRCUIT, "storage_gal": 120, "breaker_a": 20}, {ALL: "fails"}),
    ("a heat pump goes by its plate", "electric.conductor", "rule", {**CIRCUIT, "heater_kind": "heat_pump_storage", "minimum_circuit_a": 26, "breaker_a": 30}, {ALL: "fails"}),
    ("electric tankless by its circuits", "electric.breaker", "rule", {**CIRCUIT, "heater_kind": "electric_instantaneous", "input_kw": 18, "circuit_count": 2, "minimum_circuit_a": 38, "breaker_a": 40}, {ALL: "meets"}),
    ("NM cable stays in the 60 C column: 10 AWG carries 30, not 35 A", "electric.conductor", "rule", {**CIRCUIT, "wire_method": "nm_cable", "wire_rating_c": 90, "wire_awg": 10, "input_kw": "6.5", "breaker_a": 35}, {ALL: "fails"}),
    ("aluminum has its own column: 12 AWG is short of 18.75 A with 125 %", "electric.conductor", "rule", {**CIRCUIT, "wire_metal": "aluminum", "breaker_a": 15}, {ALL: "authority"}),
    ("a small aluminum wire has its own cap: 12 AWG 15 A", "electric.conductor", "rule", {**CIRCUIT, "wire_metal": "aluminum"}, {ALL: "fails"}),
    ("an unknown hazard is no answer", "heater.no_hazard_left", "rule", {"hazard_found": "unknown"}, {ALL: "unanswered"}),
    ("a hazard is looked for", "heater.no_hazard_left", "rule", {"hazard_found": {"could_not_measure": "smelled gas, no detector"}}, {ALL: "unanswered"}),
    ("a bonding jumper is left to the authority", "electric.bonding", "rule", {"bonding_hot_cold_gas": "no"}, {ALL: "authority"}),
    # Vent
    *((f"category III: {check.split('.')[1]} does not apply", check, "rule", {**VENT, **POWER_VENT}, {ALL: "not_applicable"})
      for check in ("venting.connector_length", "venting.connector_slope", "venting.not_oversized", "venting.end_above_draft_hood")),
    *((f"direct vent: {check.split('.')[1]} does not apply", check, "rule", {**VENT, **POWER_VENT, "direct_vent": "yes"}, {ALL: "not_applicable"})
      for check in ("venting.connector_length", "venting.connector_slope", "venting.not_oversized", "venting.end_above_draft_hood")),
    ("the maker's length does", "venting.length_within_maker", "rule", {**VENT, **POWER_VENT, "vent_equivalent_length_ft": 41, "vent_maker_max_length_ft": 40}, {ALL: "fails"}),
    ("and its supports", "venting.pipe_supported", "rule", {**VENT, **POWER_VENT, "vent_supported": "no"}, {ALL: "fails"}),
    ("and its drain (the place of it is from memory)", "place.condensate", "rule", {**VENT, **POWER_VENT, "vent_category": "IV", "condensing": "yes", "condensate_end": "none"}, {UPC: "authority"}),
    ("masonry, inside, tile-lined, draft hood: may serve", "venting.chimney_suitable", "rule", {**VENT, "vent_kind": "masonry_lined", "chimney_inspected_clean": "yes", "chimney_exterior": "no"}, {ALL: "meets"}),
    ("fan-assisted in masonry: engineer", "venting.chimney_suitable", "rule", {**VENT, "draft_kind": "fan_assisted", "vent_kind": "masonry_lined", "chimney_inspected_clean": "yes", "chimney_exterior": "no"}, {ALL: "engineer"}),
    ("an outside chimney never meets", "venting.chimney_suitable", "rule", {**VENT, "vent_kind": "masonry_lined", "chimney_inspected_clean": "yes", "chimney_exterior": "yes"}, {ALL: "engineer"}),
    ("unlined: the same-type exception only", "venting.chimney_suitable", "rule", {**VENT, "job_kind": "same_place", "vent_kind": "masonry_unlined", "chimney_inspected_clean": "yes", "chimney_exterior": "no"}, {ALL: "authority"}),
    ("unlined otherwise fails", "venting.chimney_suitable", "rule", {**VENT, "job_kind": "changed_kind", "vent_kind": "masonry_unlined", "chimney_inspected_clean": "yes", "chimney_exterior": "no"}, {ALL: "fails"}),
    ("altitude goes by the maker's limit", "heater.suits_elevation", "rule", {**GAS, "elevation_ft": 5000, "heater_altitude_limit_ft": 7700}, {ALL: "meets"}),
    ("... and by its kit", "heater.suits_elevation", "rule", {**GAS, "elevation_ft": 8000, "heater_altitude_limit_ft": 7700, "high_altitude_kit": "yes"}, {ALL: "meets"}),
    # Straps
    ("a gauge under the guide's", "seismic.strap_material", "rule", {**STRAPS, "strap_gauge": 26}, {CA: "authority"}),
    ("a width under the guide's", "seismic.strap_material", "rule", {**STRAPS, "strap_width_in": "1/2"}, {CA: "authority"}),
    ("a gap wider than the guide's, open", "seismic.gap_blocked", "rule", STRAPS, {CA: "authority"}),
    ("the third strap over 52 gal", "seismic.strap_count", "rule", {**STRAPS, "storage_gal": 75, "tank_diameter_in": 26}, {CA: "authority", GUIDELESS: "meets"}),
    ("the model text names no gauge", "seismic.strap_material", "rule", {**STRAPS, "strap_gauge": 26}, {GUIDELESS: "authority"}),
    ("a gap is advice there", "seismic.gap_blocked", "advice", STRAPS, {GUIDELESS: "fails"}),
    ("a listed kit to its sheet meets", "seismic.fasteners_strong_enough", "rule", {**STRAPS, "strap_kind": "listed_kit"}, {ICC: "meets"}),
    ("short lags fail only where the book states a force", "seismic.fasteners_strong_enough", "rule", {**STRAPS, "lag_length_in": "1 1/4"}, {IRCS: "fails", IPC: "authority"}),
    ("wallboard only fails", "seismic.anchored_to_structure", "rule", {**STRAPS, "strap_anchor": "drywall_only"}, {ALL: "fails"}),
    ("no straps at all fails", "seismic.strapped_where_needed", "rule", {**STRAPS, "strap_kind": "none"}, {ALL: "fails"}),
    *((f"IRC category {category}: required", "seismic.strapped_where_needed", "rule", {**STRAPS, "strap_kind": "none", "seismic_design_category": category}, {ICC: "fails"})
      for category in ("D", "D0", "D1", "D2", "E", "F")),
    *((f"category {category}: not under the IRC, always under the UPC since 2021", "seismic.strapped_where_needed", "rule", {**STRAPS, "strap_kind": "none", "seismic_design_category": category}, {IRCS: "not_applicable", SINCE_2021: "fails"})
      for category in ("A", "B", "C")),
    *((f"category {category} before 2021: for the authority", "seismic.strapped_where_needed", "rule", {**STRAPS, "strap_kind": "none", "seismic_design_category": category}, {BEFORE_2021: "authority", IPC: "not_applicable"})
      for category in ("A", "B")),
    ("IPC category C: the importance of the building decides", "seismic.strapped_where_needed", "rule", {**STRAPS, "strap_kind": "none", "seismic_design_category": "C"}, {IPC: "authority", BEFORE_2021: "fails"}),
    ("IPC: a strapped heater still wants a design", "seismic.strapped_where_needed", "rule", STRAPS, {IPC: "engineer", (*UPC, *IRCS): "meets"}),
    ("IRC category C: townhouses", "seismic.strapped_where_needed", "rule", {**STRAPS, "strap_kind": "none", "seismic_design_category": "C", "building_kind": "townhouse"}, {IRCS: "fails"}),
    ("a heat pump whose thirds disagree", "seismic.upper_strap_in_upper_third", "rule", {**STRAPS, "heater_kind": "heat_pump_storage", "tank_height_in": 45, "heater_height_in": 66, "strap_heights_in": [12, 40]}, {(*UPC, *IRCS): "authority", IPC: "silent"}),
    # Place
    ("work space at the controls is the IRC's", "place.work_space", "rule", {"room": "basement", "job_kind": "new", "work_space_in": [29, 30]}, {ICC: "fails", UPC: "silent"}),
    ("the UPC has it in attics", "place.work_space", "rule", {"room": "attic", "job_kind": "new", "work_space_in": [29, 30]}, {ALL: "fails"}),
    ("short on a swap: authority", "place.work_space", "rule", {"room": "attic", "job_kind": "same_place", "work_space_in": [29, 30]}, {ALL: "authority"}),
    ("ignition height for electric", "place.ignition_height", "rule", {**ELECTRIC, "room": "garage", "ignition_height_in": 6}, {ICC: "authority", UPC: "not_applicable"}),
    ("a manufactured home: an unlisted gas heater", "heater.suits_manufactured_home", "rule", {**GAS, "building_kind": "manufactured", "listed_for_manufactured_home": "no"}, {ALL: "fails"}),
    ("... an unlisted electric one", "heater.suits_manufactured_home", "rule", {**ELECTRIC, "building_kind": "manufactured", "listed_for_manufactured_home": "no"}, {ALL: "authority"}),
    ("gas on carpet", "place.floor_suits", "rule", {**GAS, "floor_kind": "carpet"}, {ALL: "fails"}),
    ("a bedroom, direct vent", "place.room_allowed", "rule", {**GAS, "room": "bedroom", "direct_vent": "yes"}, {ALL: "meets"}),
    ("a bedroom otherwise", "place.room_allowed", "rule", {**GAS, "room": "bedroom", "direct_vent": "no"}, {ALL: "fails"}),
    ("a sealed closet with outdoor air and nothing else in it", "place.room_allowed", "rule", CLOSET, {ALL: "meets"}),
    *((f"not with {said}", "place.room_allowed", "rule", {**CLOSET, **change}, {ALL: "fails"})
      for said, change in (("a louvered door", {"closet_door": "louvered"}), ("something else in it", {"closet_heater_only": "no"}), ("air from the room", {"air_source": "room"}))),
    ("a pan drain to a garage floor", "pan.drain_end", "rule", {**GAS, "leak_would_damage": "yes", "pan_fitted": "yes", "pan_drain_end": "garage_floor"}, {ALL: "authority"}),
    ("a plastic pan under gas, by its listing", "pan.material", "rule", {**GAS, "leak_would_damage": "yes", "pan_fitted": "yes", "pan_material": "plastic", "pan_thickness_in": "0.1", "pan_listed_for_gas": "yes"}, {ICC[1:]: "meets", ICC[:1]: "fails"}),
    ("... not listed", "pan.material", "rule", {**GAS, "leak_would_damage": "yes", "pan_fitted": "yes", "pan_material": "plastic", "pan_thickness_in": "0.1", "pan_listed_for_gas": "no"}, {ICC: "fails"}),
]  # fmt: skip


def _flat() -> list[Any]:
    rows = []
    for says, check, kind, answers, verdicts in ROWS:
        for places, verdict in verdicts.items():
            for place in (places,) if isinstance(places, str) else places:
                rows.append(pytest.param(check, kind, answers, place, verdict, id=f"{check} {place}: {says}"))
    return rows


@pytest.mark.parametrize(("check", "kind", "answers", "place", "verdict"), _flat())
def test_the_verdict_falls_as_decided(
    check: str, kind: str, answers: dict[str, Any], place: str, verdict: str
) -> None:
    found = [one for one in alone.findings_of({**answers, "place": place}, check) if one.kind == kind]
    assert [f.verdict for f in found] == ([] if verdict == "none" else [verdict]), found


def _why(check: str, kind: str = "rule", place: str = UPC21, **answers: Any) -> str:
    return next(one.why for one in alone.findings_of({**answers, "place": place}, check) if one.kind == kind)


def test_a_reading_without_a_draw_carries_a_note_and_says_what_to_do() -> None:
    check = "supply.pressure_within_limit"
    assert "without drawing water" in _why(check, house_pressure_psi=70, drew_water_before_reading="no")
    assert "Draw water" in _why(check, house_pressure_psi=95, drew_water_before_reading="no")


def test_a_wrong_precharge_prints_the_peak_as_its_consequence() -> None:
    check, low = "expansion.precharge_matches_house", {**TANK, "precharge_psi": 40}
    assert "The pressure would reach 107 psi." in _why(check, **{**low, "thermostat_f": 120})
    assert "The pressure would reach 150 psi, where the relief valve opens." in _why(check, **low)


def test_the_size_is_said_to_be_the_worst_case() -> None:
    said = _why("expansion.tank_large_enough", place=UPC24, **TANK)
    assert "Worst case: the whole tank heated from cold, every tap shut." in said


def test_scald_advice_gives_the_burn_time() -> None:
    said = _why("temperature.scald_guard", "advice", thermostat_f=140, mixing_valve_fitted="no")
    assert "It burns an adult in about" in said


def test_what_cannot_be_seen_advises_a_tank() -> None:
    unseen = {"prv_fitted": "no", "check_valve_upstream": "unknown", "backflow_preventer_upstream": "no"}
    said = _why("expansion.control_on_closed_system", **GAS, expansion_device="none", **unseen)
    assert "a tank is advised" in said


def test_california_names_its_guide_where_straps_fall_short_of_it() -> None:
    report = assess({**STRAPS, "strap_gauge": 26, "place": CA}).as_json()
    finding = next(f for f in report["findings"] if f["check"] == "seismic.strap_material")
    assert finding["book"].startswith("State guide to earthquake bracing")


def test_the_derated_input_is_a_figure() -> None:
    report = assess({**GAS, "input_btuh": 40000, "elevation_ft": 5000, "place": UPC21}).as_json()
    assert report["figures"]["rated_input_at_elevation_btuh"]["value"] == "32000"


def test_aluminum_columns_are_from_memory_and_so_cannot_fail_a_job() -> None:
    table = files("heaterapp.rules").joinpath("codes", "tables", "ampacity_aluminum.toml").read_text("utf-8")
    read = tomllib.loads(table)
    assert read["read"]["confidence"] == "memory"


def test_a_same_place_swap_whose_roof_and_chase_cannot_be_seen_is_not_unfinished() -> None:
    roof = ("vent_height_ft", "vent_above_roof_in", "vent_to_wall_ft", "roof_pitch_in_12", "vent_cap_listed", "vent_diameter_in", "vent_clearance_in")  # fmt: skip
    unseen = {name: {"could_not_measure": "roof not safe to climb"} for name in roof}
    answers = {**VENT, **unseen, "job_kind": "same_place", "vent_marked_clearance_in": 1, "vent_flue_area_in2": None}
    for place in ALL:
        report = assess({**answers, "place": place})
        wrong = [
            f.check
            for f in report.findings
            if f.topic == "venting" and f.verdict in ("fails", "unanswered") and set(f.missing) & set(roof)
        ]
        assert not wrong, f"{place}: {wrong}"
