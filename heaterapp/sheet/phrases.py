"""What was found and what is asked, in an inspector's words, where a check's stored words are bare.

A report keeps its own short words for ever; these stand in their place wherever one is read, so that an
old report reads as a new one does.
"""

# ruff: noqa: E501 - a check's words stand on one line
from __future__ import annotations

from collections.abc import Mapping
from typing import Any

from ..languages import say, told

_VALVE = {"none": "no valve"}
FOUND: dict[str, dict[str, str]] = {
    "air.fan_interlocked": {"interlocked": "interlocked with the heater", "not interlocked": "not interlocked with it"},
    "air.closet_louvers": {"open": "louvers open", "closed off": "louvers closed off"},
    "electric.filled_first": {"not full": "powered before it was full"},
    "electric.ground_clamp": {"not ahead": "no clamp ahead of the valve"},
    "electric.receptacle_protected": {"none": "no ground-fault protection", "protected": "ground-fault protection"},
    "electric.shared_circuit": {"its own": "a circuit of its own", "shared": "a shared circuit"},
    "expansion.control_on_closed_system": {"none": "no device"},
    "expansion.potable_rated": {"not listed": "not listed for drinking water"},
    "expansion.tank_after_prv": {"house side": "on the house side", "street side": "on the street side"},
    "expansion.tank_open_to_heater": {"none": "no valve", "plain valve": "a plain valve"},
    "gas.connector": {"none": "no connector", "used again": "a used connector"},
    "gas.leak_test": {"passed": "no leak", "failed": "the leak test failed"},
    "gas.sediment_trap": {"none": "no sediment trap"},
    "heater.no_hazard_left": {"none": "no hazard", "repaired": "a hazard, said to be repaired"},
    "heater.suits_manufactured_home": {"not listed": "not listed for manufactured homes"},
    "pan.fitted_where_needed": {"pan": "a pan"},
    "paperwork.manual_left": {"left": "left at the heater", "not left": "not left"},
    "place.attic_access": {"as asked": "all there", "short": "something short"},
    "place.condensate": {"nowhere": "led nowhere"},
    "place.outdoor_listing": {"listed": "listed for outdoors", "not listed": "not listed for outdoors"},
    "relief.air_gap": {"air gap": "an air gap", "none": "no air gap"},
    "relief.end_not_threaded": {"thread": "a thread at its end"},
    "relief.end_points_down": {"down": "pointing down", "not down": "not pointing down"},
    "relief.end_visible": {"seen": "in sight", "not seen": "out of sight"},
    "relief.lever_works": {"passed": "works", "failed": "does not work"},
    "relief.no_valve_before_it": {"valve": "a valve between"},
    "relief.not_plugged": {"open": "open", "capped": "capped or plugged"},
    "relief.pipe_alone": {"alone": "a pipe of its own", "shared": "shared with another"},
    "relief.pipe_falls": {"does not fall": "does not fall all the way"},
    "relief.pipe_no_trap": {"trap": "a trap"},
    "relief.pipe_no_valve": {"none": "no valve or tee", "valve or tee": "a valve or tee"},
    "relief.valve_fitted": {"none": "no relief valve"},
    "relief.valve_new": {"old": "the old valve"},
    "relief.valve_near_top": {"lower": "lower down"},
    "seismic.flexible_connections": {"rigid": "rigid connections"},
    "seismic.strapped_where_needed": {"none": "no straps"},
    "supply.cold_shutoff_full_way": {"other": "another kind of valve", **_VALVE},
    "supply.dielectric_fittings": {"none": "no dielectric fittings"},
    "supply.unions": {"none": "no unions"},
    "supply.vacuum_relief_where_needed": _VALVE,
    "venting.exhaust_fans_ran": {"no": "exhaust fans off", "yes": "exhaust fans running"},
    "venting.firestops": {"missing": "firestops missing"},
    "venting.no_manual_damper": {"damper": "a damper"},
    "venting.no_spillage": {"none": "no flue gas spilling", "seen": "flue gas spilling"},
    "venting.no_spillage_seen": {"none": "no flue gas spilling", "seen": "flue gas spilling"},
    "venting.roof_flashed": {"flashed": "flashing at the roof", "not flashed": "no flashing at the roof"},
    "venting.smaller_enters_higher": {"equal": "both at one height"},
    "venting.wall_terminal": {"kept": "all kept", "short": "one is short"},
}  # fmt: skip
"""Check -> what it stored as found -> how that is read."""
ASKED: dict[str, dict[str, str]] = {
    **{check: words for check, words in FOUND.items() if check not in ("heater.no_hazard_left", "place.attic_access")},
    "alarms.carbon_monoxide": {
        "outside each sleeping area": "one outside each sleeping area",
        "outside sleeping areas and on each level": "one outside each sleeping area and on each level",
    },
    "alarms.smoke": {"in place": "smoke alarms in place"},
    "electric.disconnect": {"in sight, lockable, or a plug": "in sight, locking open, or a cord and plug"},
    "electric.ground_clamp": {"ahead": "the clamp ahead of the valve"},
    "electric.filled_first": {"full": "full before power"},
    "expansion.potable_rated": {"listed": "listed for drinking water"},
    "place.service_access": {"clear": "clear to reach and take out"},
    "expansion.tank_open_to_heater": {"none, or locked open": "no valve, or one locked open"},
    "gas.sediment_trap": {"fitted": "a sediment trap"},
    "heater.filled_and_purged": {"filled": "filled and purged of air"},
    "heater.suits_manufactured_home": {"listed": "listed for manufactured homes"},
    "relief.valve_new": {"new": "a new valve"},
    "supply.cold_shutoff_full_way": {"full-way": "a full-way valve"},
    "supply.dielectric_fittings": {"fitted": "dielectric fittings"},
    "supply.unions": {"in place": "unions in place"},
    "supply.vacuum_relief_where_needed": {"fitted": "a vacuum relief valve"},
    "venting.firestops": {"in place": "firestops in place"},
    "gas.connector": {"new": "a new connector", "in the open": "in the open, not through a wall"},
    "gas.fuel_matches": {"propane": "a heater set for propane", "natural gas": "a heater set for natural gas"},
    "gas.csst_bonded": {"bonded, or arc-resistant": "bonded, or listed as arc-resistant"},
    "heater.listed": {"listed": "a listed heater"},
    "heater.no_hazard_left": {"none left": "no hazard left"},
    "paperwork.manual_left": {"left": "left at the heater"},
    "pan.material": {"metal": "a metal pan", "listed for gas": "a pan listed for gas heaters"},
    "place.condensate": {"as the authority asks": "neutralized where the authority asks it"},
    "place.outdoor_listing": {"listed or protected": "listed for outdoors, or protected"},
    "place.room_allowed": {
        "direct vent": "a direct vent heater", "direct vent, or another room": "a direct vent heater, or another room",
        "not a bedroom or bathroom": "not in a bedroom or bathroom", "not a storage closet": "not in a storage closet",
        "not into a bedroom or bathroom": "no opening into a bedroom or bathroom",
    },
    "relief.capacity": {"the coil's input": "at least the coil's input"},
    "relief.lever_works": {"passed": "a lever that works"},
    "relief.pipe_falls": {"falls": "a fall all the way"},
    "relief.no_freezing": {"cannot freeze": "a place where it cannot freeze"},
    "relief.no_valve_before_it": {"nothing": "nothing between tank and relief valve"},
    "relief.not_plugged": {"open": "an open end"},
    "relief.valve_fitted": {"fitted": "a relief valve", "by the maker": "as the maker asks"},
    "seismic.fasteners_strong_enough": {"a third of the weight": "to hold a third of the weight"},
    "seismic.flexible_connections": {"flexible": "flexible connectors"},
    "seismic.strap_material": {"listed kit": "a listed strap kit"},
    "seismic.strapped_where_needed": {"strapped": "straps"},
    "venting.cap_listed": {"listed cap": "a listed cap"},
    "venting.pipe_supported": {"supported": "supports as the maker asks"},
    "venting.single_wall_place": {"none of them": "through none of these", "Type B": "a Type B connector"},
    "venting.smaller_enters_higher": {"the smaller above": "the smaller connector above the larger"},
    "venting.vent_kind_allowed": {"above the roof": "an end above the roof"},
}  # fmt: skip
"""Check -> what it stored as its limit -> how that is read."""
ASKED_AS = {
    "relief.valve_near_top": "in the {limit}", "seismic.gap_blocked": "a gap of at most {limit}",
}  # fmt: skip
"""How a limit is read that holds a number and words."""
ONE_OF = frozenset(("pan.drain_end", "pan.material", "relief.end_place", "relief.pipe_material", "venting.vent_kind_allowed"))
"""Checks whose limit names what is allowed, one after the other."""
PERMIT = "paperwork.permit"


def found_phrase(check: str, stored: str) -> str:
    """What was found, in the language spoken now; as it is stored where that says enough.

    >>> found_phrase("relief.pipe_falls", "does not fall"), found_phrase("pan.material", "plastic")
    ('does not fall all the way', 'plastic')
    """
    phrase = FOUND.get(check, {}).get(stored)
    return say(phrase) if phrase else told(check, stored)


def asked_phrase(check: str, stored: str) -> str:
    """What is asked, in the same way.

    >>> asked_phrase("place.room_allowed", "not a bedroom or bathroom")
    'not in a bedroom or bathroom'
    >>> asked_phrase("relief.end_place", "at the floor, in the pan, outdoors")
    'at the floor, in the pan or outdoors'
    """
    phrase = ASKED.get(check, {}).get(stored)
    if phrase:
        return say(phrase)
    said = told(check, stored)
    if check in ONE_OF and ", " in stored:
        return _one_of(said)
    # A number alone is told by which way it bounds.
    worded = (check in ASKED_AS and "," in stored) or stored.startswith("top ")
    return say(ASKED_AS[check], limit=said) if check in ASKED_AS and worded else said


def _one_of(said: str) -> str:
    most, _, last = said.rpartition(", ")
    return say("{most} or {last}", most=most, last=last)


def permit_found(finding: Mapping[str, Any]) -> str:
    """How the permit stands and its number, which a report keeps in one of its sentences.

    >>> permit_found({"why": "Permit issued: B26-01902.", "found": "B26-01902"})
    'issued, B26-01902'
    """
    said = str(finding.get("why", ""))
    status, colon, number = said.removeprefix("Permit ").removesuffix(".").partition(": ")
    if not (said.startswith("Permit ") and colon and number == finding["found"]):
        return ""
    return f"{told(PERMIT, status)}, {number}"
