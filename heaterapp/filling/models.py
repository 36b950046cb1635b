"""What two heaters of one model have in common: read once off a plate, offered at the next of its kind.

Never the serial number, never what is measured at the job, and not the gas it is marked for: the wrong
gas is a danger, so that mark is read at each heater. What is taken over is kept as accepted, not measured.
Which answers belong to a model is common practice of the trade; no code is quoted.
"""

from __future__ import annotations

from collections.abc import Mapping
from typing import Any

NAMED_BY = ("heater_kind", "heater_maker", "heater_model")
OF_A_MODEL = (
    "listed_mark", "storage_gal", "input_btuh", "coil_input_btuh", "input_kw", "first_hour_gal",
    "working_pressure_psi", "draft_kind", "direct_vent", "condensing", "vent_category", "ignition_resistant",
    "heater_altitude_limit_ft", "dry_weight_lb", "heater_height_in", "heater_marked_clearance_in",
    "heat_pump_air_ft3_by_maker", "listed_for_outdoors", "listed_for_manufactured_home",
)  # fmt: skip


def plate_of(answers: Mapping[str, Any]) -> dict[str, str]:
    """The plate of a job's heater, where maker or model name it; empty where they do not.

    answers  canonical answers; what could not be measured is no plate's
    """
    plate = {name: answers[name] for name in NAMED_BY + OF_A_MODEL if isinstance(answers.get(name), str)}
    return plate if plate.get("heater_model", "").strip() else {}


def taken_over(answers: Mapping[str, Any], plate: Mapping[str, Any]) -> dict[str, Any]:
    """The changes that fill a job from a known plate; nothing that a person answered is written over.

    returns  question -> answer, with `accepted_as_usual` naming those not answered by the choice itself;
             empty where the plate is another kind of heater's
    """
    if plate.get("heater_kind") != answers.get("heater_kind"):
        return {}
    accepted = set(answers.get("accepted_as_usual") or ())
    named = {name: plate[name] for name in NAMED_BY[1:] if isinstance(plate.get(name), str)}
    found = {
        name: plate[name]
        for name in OF_A_MODEL
        if isinstance(plate.get(name), str) and (name in accepted or answers.get(name) is None)
    }
    return named | found | {"accepted_as_usual": sorted(accepted | set(found))}
