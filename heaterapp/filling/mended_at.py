"""The question that a finding is about: where its fix is measured again, so that a link can lead to it."""

from __future__ import annotations

from collections.abc import Collection, Mapping
from typing import Any

from ..rules import CATALOGUE
from ..rules.questions import ORDER
from ..sheet.findings import section_of
from .typed import asks

_WIDTHS = ("vent_diameter_in", "vent_flue_area_in2", "connector_diameter_in", "vent_kind")
ABOUT: dict[str, tuple[str, ...]] = {
    "air.enough_air": ("air_source",),
    "alarms.carbon_monoxide": ("co_alarm_outside_sleeping",),
    "electric.breaker": ("breaker_a",),
    "electric.conductor": ("wire_awg",),
    "electric.shared_circuit": ("circuit_shared",),
    "electric.voltage_suits": ("volts",),
    "expansion.control_on_closed_system": ("expansion_device",),
    "expansion.peak_as_set": ("precharge_psi", "expansion_tank_gal"),
    "expansion.precharge_air_corrected": ("precharge_psi",),
    "expansion.precharge_matches_house": ("precharge_psi",),
    "expansion.tank_can_hold_it": ("expansion_tank_gal",),
    "expansion.tank_large_enough": ("expansion_tank_gal",),
    "gas.connector": ("gas_connector_length_in",),
    "gas.connector_capacity": ("gas_connector_btuh",),
    "gas.fuel_matches": ("conversion_kit_fitted", "gas_kind"),
    "gas.inlet_pressure": ("gas_running_inwc",),
    "gas.pipe_capacity": ("gas_pipe_in", "csst_ehd", "gas_sections"),
    "gas.piping_tested": ("gas_piping_test_psi",),
    "heater.first_hour_rating": ("first_hour_gal",),
    "heater.suits_elevation": ("high_altitude_kit",),
    "pan.drain_end": ("pan_drain_end",),
    "pan.drain_size": ("pan_drain_in",),
    "pan.fitted_where_needed": ("pan_fitted",),
    "pan.material": ("pan_material",),
    "paperwork.permit": ("permit_status",),
    "place.attic_access": ("attic_opening_in",),
    "place.condensate": ("condensate_end",),
    "place.heat_pump_air": ("room_volume_ft3",),
    "place.outdoor_listing": ("listed_for_outdoors",),
    "place.room_allowed": ("room",),
    "relief.capacity": ("relief_capacity_btuh",),
    "relief.end_place": ("relief_end",),
    "relief.pipe_full_size": ("relief_pipe_in",),
    "seismic.fasteners_strong_enough": ("lag_diameter_in", "strap_anchor"),
    "seismic.flexible_connections": ("flexible_water_connectors",),
    "seismic.lag_size": ("lag_diameter_in",),
    "seismic.lower_strap_clear_of_controls": ("strap_heights_in",),
    "seismic.lower_strap_in_lower_third": ("strap_heights_in",),
    "seismic.sideways_restraint": ("anchor_spacing_in", "strap_kind"),
    "seismic.strap_material": ("strap_kind",),
    "seismic.strapped_where_needed": ("strap_kind",),
    "seismic.upper_strap_in_upper_third": ("strap_heights_in",),
    "seismic.within_prescriptive_size": ("strap_kind",),
    "supply.prv_holds_setting": ("house_pressure_psi",),
    "supply.prv_where_needed": ("prv_fitted",),
    "temperature.scald_guard": ("thermostat_f",),
    "venting.capacity": _WIDTHS,
    "venting.chimney_end": ("vent_above_roof_in",),
    "venting.chimney_suitable": ("chimney_inspected_clean",),
    "venting.connector_clearance": ("connector_clearance_in",),
    "venting.connector_length": ("connector_length_ft",),
    "venting.end_above_roof": ("vent_above_roof_in",),
    "venting.no_spillage": ("spillage_after_5min",),
    "venting.not_oversized": _WIDTHS,
    "venting.not_smaller_than_outlet": _WIDTHS,
    "venting.resized_after_removal": _WIDTHS,
    "venting.shared_capacity": ("common_vent_diameter_in", *_WIDTHS),
    "venting.single_wall_place": ("connector_kind", "vent_kind"),
    "venting.vent_kind_allowed": ("vent_kind",),
    "venting.wall_terminal": ("wall_terminal_above_grade_in",),
}
"""Check -> the questions whose answer it judges, the first that a job asks; the others' name says it."""


def place_of(
    finding: Mapping[str, Any], asked: Mapping[str, bool] | None = None, spare: Collection[str] = ()
) -> tuple[str, str]:
    """The section in which a finding is mended, and the question in it, where one is asked there.

    asked  question -> whether this job asks it; without it, as if it asked all of them
    spare  those that may stay empty: no link leads to one while another will do
    """
    section = section_of(finding)
    rests_on = [*finding["missing"], *finding["questions"]] if "missing" in finding else finding["questions"]
    here = [q for q in rests_on if q in CATALOGUE and asks(CATALOGUE[q]) and (asked is None or asked.get(q))]
    open_ = sorted((q for q in here if q in finding.get("missing", ())), key=lambda q: q in spare)
    about = [q for q in ABOUT.get(finding["check"], ()) if q in here]
    one = (open_ or about or [""])[0] or _named(finding["check"], here, section, spare)
    return (CATALOGUE[one].section, one) if one else (section, "")


def _named(check: str, here: list[str], section: str, spare: Collection[str]) -> str:
    """The question that shares the most words with a check's own name; of several the one measured last."""
    own = set(check.partition(".")[2].split("_"))

    def fits(question: str) -> tuple[bool, bool, int, int]:
        at_home = CATALOGUE[question].section == section
        return question not in spare, at_home, len(own & set(question.split("_"))), ORDER.get(question, 0)

    return max(here, key=fits, default="")
