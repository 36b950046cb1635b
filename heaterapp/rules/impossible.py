"""Answers that cannot all be true of one installation: kept, told at each of them, and judged by nobody.

What can be refused as it is typed is refused (`job.py`); what stands apart on the form is
kept, since either answer may be the slip, and asked again.
"""

from __future__ import annotations

from collections.abc import Callable, Mapping
from dataclasses import dataclass, field
from decimal import Decimal
from typing import Any

from .calc.venting import circle_area
from .units import plain

Values = Mapping[str, Any]
INCHES = 12
IN3_PER_GAL = 231
"""United States gallon, by definition (NIST Handbook 44, appendix C)."""
INWC_PER_PSI = Decimal("27.7")
"""2018 IRC G2413.4, printed page 579."""


@dataclass(frozen=True, slots=True)
class Pair:
    """Answers that contradict one another.

    names   the questions, all of which must be answered and asked
    says    the sentence with their values when they do, else ""
    but_of  a kind of heater of which it is possible
    only    the answers in words among which alone it is impossible: question -> word
    """

    names: tuple[str, ...]
    says: Callable[..., str]
    but_of: str = ""
    only: Mapping[str, str] = field(default_factory=dict)


def _straps(straps: tuple[Decimal, ...], base: Decimal, height: Decimal) -> str:
    top = base + height
    return f"A strap at {plain(straps[-1])} in is above the tank, whose top is {plain(top)} in from the floor: there it holds nothing." if straps and straps[-1] > top else ""


def _controls(controls: Decimal, base: Decimal, height: Decimal) -> str:
    top = base + height
    return f"Controls at {plain(controls)} in are above the tank, whose top is {plain(top)} in from the floor." if controls > top else ""


def _holds(gallons: Decimal, across: Decimal, height: Decimal) -> str:
    """The jacket is thicker than the tank in it, so what it would hold is more than the tank can."""
    most = circle_area(across) * height / IN3_PER_GAL
    return (
        f"{plain(gallons)} gal do not go into a jacket {plain(across)} in across and {plain(height)} in high: the whole of it is {plain(most, 1)} gal."
        if gallons > most
        else ""
    )


def _more(first: str, second: str, unit: str, why: str) -> Pair:
    """The first may not be more than the second."""

    def says(one: Decimal, other: Decimal) -> str:
        return f"{plain(one)} {unit} is more than {plain(other)} {unit}: {why}." if one > other else ""

    return Pair((first, second), says)


def _rise(rise: Decimal, height: Decimal) -> str:
    most = height * INCHES
    return f"The connector rises {plain(rise)} in, more than the vent's whole height of {plain(most)} in." if rise > most else ""


def _elbows(lateral: Decimal, elbows: Decimal) -> str:
    return "No offset at all, yet elbows: a straight vent has none." if lateral == 0 and elbows > 0 else ""


def _offset(offset: Decimal, sharp: Decimal, easy: Decimal) -> str:
    return f"The common vent is offset by {plain(offset)} ft, yet without elbows: an offset takes two." if offset > 0 and sharp + easy == 0 else ""


def _one_turn(offset: Decimal, sharp: Decimal, easy: Decimal) -> str:
    return f"The common vent is offset by {plain(offset)} ft by one elbow: it takes two, out of the vertical and back." if offset > 0 and sharp + easy == 1 else ""


def _more_elbows(common: Decimal, every: Decimal) -> str:
    if common <= every:
        return ""
    said = (
        f"{plain(common)} elbow in the common vent"
        if common == 1
        else f"{plain(common)} elbows in the common vent"
    )
    return f"{said}, yet {plain(every)} in all: the common vent's elbows are some of all of them."


def _drop(drop: Decimal, supply: Decimal) -> str:
    there = supply * INWC_PER_PSI
    return f"A drop of {plain(drop)} in. w.c. is more than the supply's whole {plain(there, 1)} in. w.c. ({plain(supply)} psi)." if drop > there else ""


PAIRS = (
    Pair(("strap_heights_in", "tank_base_in", "tank_height_in"), _straps, but_of="heat_pump_storage"),
    Pair(("controls_top_in", "tank_base_in", "tank_height_in"), _controls),
    Pair(("storage_gal", "tank_diameter_in", "tank_height_in"), _holds),
    Pair(("connector_rise_in", "vent_height_ft"), _rise),
    Pair(("vent_lateral_ft", "vent_elbows_90"), _elbows),
    Pair(("vent_lateral_ft", "vent_elbows_45"), _elbows),
    Pair(("common_vent_offset_ft", "common_vent_elbows_90", "common_vent_elbows_45"), _offset),
    Pair(("common_vent_offset_ft", "common_vent_elbows_90", "common_vent_elbows_45"), _one_turn, only={"connectors_manifolded": "no", "vent_kind": "type_b"}),
    Pair(("gas_pressure_drop_inwc", "gas_supply_pressure_psi"), _drop),
    _more("precharge_psi", "expansion_tank_rating_psi", "psi", "the tank's air charge is above what the tank is rated for"),
    _more("mixed_outlet_f", "thermostat_f", "degrees F", "a mixing valve cannot give hotter water than the tank holds"),
    _more("connector_length_ft", "vent_lateral_ft", "ft", "the connector's level run is part of the whole offset"),
    _more("connector_vertical_rise_ft", "vent_above_draft_hood_ft", "ft", "the connector rises above the vent's end"),
    _more("other_connector_vertical_rise_ft", "vent_above_draft_hood_ft", "ft", "the other connector rises above the vent's end"),
    _more("vent_above_draft_hood_ft", "vent_height_ft", "ft", "the highest hood cannot be lower than this heater's"),
    Pair(("common_vent_elbows_90", "vent_elbows_90"), _more_elbows),
    Pair(("common_vent_elbows_45", "vent_elbows_45"), _more_elbows),
    _more("floor_height_ft", "roof_height_ft", "ft", "the heater's floor is above the roof"),
    _more("tank_height_in", "heater_height_in", "in", "the tank is taller than the heater with everything on top"),
)  # fmt: skip


def impossible(values: Values, look: Callable[[str], Any]) -> dict[str, str]:
    """Every question concerned -> the sentences of the contradictions it stands in.

    values  what was answered
    look    the value as the job has it: defaults too, and no value where it is not asked
    """
    found: dict[str, list[str]] = {}
    for pair in PAIRS:
        if values.keys().isdisjoint(pair.names):
            continue
        given = [look(name) for name in pair.names]
        if any(not isinstance(one, (Decimal, tuple)) for one in given):
            continue
        if pair.but_of and look("heater_kind") == pair.but_of:
            continue
        if any(look(name) != word for name, word in pair.only.items()):
            continue
        said = pair.says(*given)
        for name in pair.names if said else ():
            found.setdefault(name, []).append(said)
    return {name: " ".join(dict.fromkeys(said)) for name, said in found.items()}
