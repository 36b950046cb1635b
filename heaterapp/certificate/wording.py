"""Every fixed sentence of the papers, in one place, so that a test can read them all.

None calls an installation safe, guaranteed or approved. Cautions stand action first; where
agencies differ, the stricter one. Facts behind them: consumer agency documents on scalds and
carbon monoxide, utility commissions on gas, state boiler boards on relief valves.
"""

# ruff: noqa: E501 - a sentence that people read stands on one line
from __future__ import annotations

import re
from typing import Any

from heaterapp.filling.signed import NOT_SIGNED as NOT_SIGNED
from heaterapp.filling.signed import RECEIPT as RECEIPT
from heaterapp.filling.signed import STATEMENTS as STATEMENTS

TITLES = {
    "certificate": "Installation certificate",
    "correction_list": "Correction list",
    "findings_report": "Findings report",
}
FACES = {
    "certificate": "",
    "correction_list": "Not a certificate. What is listed first is to be put right, then the job is checked again.",
    "findings_report": "Not an installer's certificate. A look at an installation that somebody else made.",
}
RECORDS = {
    "certificate": (
        "This sheet sets what the installer measured and answered beside the limits of the adopted codes named here. Every check "
        "made is printed with what was found, its limit and its section. Open and accepted items are named."
    ),
    "correction_list": (
        "This sheet records what was measured at this address and compared with the limits of the adopted codes "
        "named here. It is given so that the items to fix are known. No certificate was issued with it."
    ),
    "findings_report": (
        "This sheet records what was found on looking over an existing installation, compared with the limits of the "
        "codes named here. Codes seldom bind what was there before them: what differs says so."
    ),
}
LIMITS = (
    "It is not a permit, and not an inspection by the authority. It does not say what nobody measured. "
    "Local codes, the maker's instructions and licensed practice come first."
)
LOOKED_OVER = "Looked over by"
CAUTIONS = (
    ("gas", "Smell gas?", "Leave now. Touch no switch, use no phone or flame inside. Call 911 and the gas company from a distance."),
    ("fuel", "CO alarm, or several people ill?", "Go outside with everyone. Call 911. Stay out until the fire service says you may go in."),
    ("all", "Hot water burns.", "At 140 °F in seconds, a child sooner. Test the bath by hand first."),
    ("storage", "Relief valve:", "never plug, cap or shorten its pipe; it keeps the tank from bursting. If it runs, keep clear and call a plumber."),
    ("electric", "Electricity:", "switch off at the breaker before any cover comes off. Never power an empty tank."),
    ("strapped", "After an earthquake:", "look at straps, vent and pipes from a distance. Smell or hear gas? Leave, then call."),
)  # fmt: skip
STOP = "Stop. Do not leave this heater running. Shut it off, say so to everyone in the building, and get it put right."
SURENESS = {
    "carried": (
        "†",
        "the clause was read in another edition of the same code: confirm it in the adopted one",
    ),
    "memory": ("‡", "the clause is from memory: read it in the adopted book"),
}
ELECTRONIC = "Signed electronically; the mark belongs to these answers only."
AT_LEAST = frozenset((
    "gas.connector_capacity", "gas.inlet_pressure", "gas.piping_tested",
    "air.clear_for_one_opening", "air.enough_air", "air.intake_above_ground", "air.opening_dimension", "air.screen_mesh",
    "expansion.tank_rated_for_pressure", "heater.first_hour_rating", "heater.working_pressure_covers_relief", "pan.depth",
    "pan.drain_size", "pan.material", "place.heat_pump_air", "place.heater_clearance", "place.ignition_height", "relief.capacity",
    "relief.pipe_full_size", "seismic.lower_strap_clear_of_controls", "seismic.strap_count", "supply.pipes_insulated",
    "venting.chimney_end", "venting.clearance", "venting.connector_clearance", "venting.connector_joints",
    "venting.connector_slope", "venting.draft_hood_clearance", "venting.end_above_draft_hood", "venting.end_above_roof",
    "venting.end_clear_of_forced_inlet", "venting.single_wall_place",
))  # fmt: skip
AT_MOST = frozenset((
    "gas.connector", "gas.pipe_capacity",
    "electric.shared_circuit", "electric.voltage_suits",
    "air.opening_position",
    "expansion.peak_as_set", "expansion.tank_can_hold_it", "expansion.tank_large_enough", "heater.suits_elevation",
    "relief.pressure_setting", "relief.temperature_setting", "seismic.gap_blocked", "seismic.within_prescriptive_size", "supply.pressure_within_limit",
    "supply.prv_holds_setting", "supply.prv_where_needed", "temperature.scald_guard", "venting.connector_length",
    "venting.length_within_maker", "venting.not_oversized",
))  # fmt: skip
EITHER_WAY = frozenset((
    "electric.breaker", "electric.conductor", "seismic.fasteners_strong_enough", "venting.capacity",
    "venting.other_connector_capacity", "venting.resized_after_removal", "venting.shared_capacity",
))
SETTINGS = frozenset(("expansion.precharge_air_corrected", "expansion.precharge_matches_house"))
FOUND_AS = {"supply.prv_holds_setting": " off", "venting.single_wall_place": " in winter"}
"""AT_LEAST and AT_MOST: checks whose limit, where it is a number, is always the smallest or always the largest allowed. EITHER_WAY: it is the one or
the other, and meets or fails by it. SETTINGS: the number is itself what is wanted. FOUND_AS: what a found number is, where the check's name
does not say it."""


def moment(stamp: Any) -> str:
    """A UTC time such as 2026-03-14T09:26:53Z for reading; anything else as it is, to 40 letters.

    >>> moment("2026-03-14T09:26:53Z")
    '2026-03-14 09:26 UTC'
    """
    text = str(stamp or "")
    return (
        f"{text[:10]} {text[11:16]} UTC"
        if re.fullmatch(r"[0-9-]{10}T[0-9:]{8}(Z|\+00:00)", text)
        else text[:40]
    )
