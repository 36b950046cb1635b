"""What a fitter usually finds, offered as one tap a section and marked as accepted, not measured.

The values are common practice in the trade, from memory; no code is quoted. Nothing
that must be measured at the job is ever in the list. Of what a check for danger reads, or hangs on, one
alone is: the draft hood, for no other draft asks for more of the spillage test. Each value is written as
an answer of its own and named in `accepted_as_usual`, so that the paper shows what was measured and what
was accepted. A firm may have presets of its own over them, of nothing that a check for danger hangs on:
they reach the next tap, never an answer that is given.
"""

from __future__ import annotations

from collections.abc import Collection, Mapping
from functools import cache
from typing import Any

from ..languages import say
from ..rules import CATALOGUE, BadAnswer, Job
from ..rules.catalog import all_checks
from ..rules.when import ALWAYS, When, is_, some
from ..sheet.findings import measure
from ..sheet.live import asked
from .judging import judged
from .typed import asks, read_one

_GAS_TANK = is_("heater_kind", "gas_storage")
_HOOD = is_("draft_kind", "draft_hood")
_TYPE_B = is_("vent_kind", "type_b")

USUAL: dict[str, tuple[str, When]] = {
    "building_kind": ("house", ALWAYS),
    "listed_mark": ("yes", ALWAYS),
    "working_pressure_psi": ("150", ALWAYS),
    "draft_kind": ("draft_hood", _GAS_TANK),
    "vent_category": ("I", _HOOD),
    "ignition_resistant": ("yes", _GAS_TANK),
    "mixing_valve_fitted": ("no", ALWAYS),
    "heats_space_too": ("no", ALWAYS),
    "manual_left": ("yes", ALWAYS),
    "cold_shutoff": ("full_way", ALWAYS),
    "expansion_tank_rating_psi": ("150", ALWAYS),
    "precharge_set_with_water_off": ("yes", ALWAYS),
    "valve_between_tank_and_heater": ("none", ALWAYS),
    "expansion_tank_downstream_of_prv": ("yes", ALWAYS),
    "potable_rated": ("yes", ALWAYS),
    "bottom_fed": ("no", ALWAYS),
    "tank_above_highest_outlet": ("no", ALWAYS),
    "relief_valve_new": ("yes", ALWAYS),
    "relief_factory_fitted": ("yes", ALWAYS),
    "relief_pressure_psi": ("150", ALWAYS),
    "relief_temperature_f": ("210", ALWAYS),
    "relief_capacity_btuh": ("105000", ALWAYS),
    "relief_in_top_6in": ("yes", ALWAYS),
    "relief_outlet_in": ("0.75", ALWAYS),
    "relief_pipe_in": ("0.75", ALWAYS),
    "relief_pipe_material": ("copper", ALWAYS),
    "relief_falls_all_the_way": ("yes", ALWAYS),
    "relief_trap": ("no", ALWAYS),
    "relief_shared": ("no", ALWAYS),
    "relief_end_threaded": ("no", ALWAYS),
    "relief_end_points_down": ("yes", ALWAYS),
    "relief_end_visible": ("yes", ALWAYS),
    "relief_freezes": ("no", ALWAYS),
    "gas_shutoff_within_6ft": ("yes", ALWAYS),
    "gas_connector_in": ("0.5", ALWAYS),
    "gas_connector_length_in": ("24", ALWAYS),
    "gas_connector_new": ("yes", ALWAYS),
    "gas_connector_count": ("1", ALWAYS),
    "gas_connector_through_wall": ("no", ALWAYS),
    "sediment_trap": ("yes", ALWAYS),
    "new_gas_piping": ("no", is_("job_kind", "same_place")),
    "vent_end": ("roof", _HOOD & _TYPE_B),
    "connector_passes_through": ("nothing", ALWAYS),
    "connector_screws": ("3", ALWAYS),
    "manual_damper": ("no", ALWAYS),
    "vent_corrugated_liner": ("no", ALWAYS),
    "vent_elbows_90": ("2", _HOOD & _TYPE_B & some("vent_lateral_ft")),
    "vent_elbows_45": ("0", _HOOD & _TYPE_B & some("vent_lateral_ft")),
    "forced_inlet_distance_ft": ("not_here", _HOOD & _TYPE_B),
    "air_source": ("room", _HOOD),
    "vent_exposed_outdoors": ("no", _TYPE_B),
    "vent_marked_clearance_in": ("1", _TYPE_B),
    "vent_supported": ("yes", ALWAYS),
    "vent_cap_listed": ("yes", ALWAYS),
    "appliance_left_vent": ("no", ALWAYS),
    "strap_wraps_tank": ("yes", ALWAYS),
    "gap_blocked": ("yes", ALWAYS),
    "stand_fixed": ("yes", ALWAYS),
}

FURTHER = (
    "hot_shutoff_fitted", "unions_fitted", "dielectric_fitted", "expansion_tank_support",
    "pipe_insulation_in", "pan_material", "pan_drain_in", "gas_heat_btu_per_ft3",
    "gas_pressure_drop_inwc", "connector_kind", "volts", "wire_metal", "wire_method", "wire_rating_c",
    "terminal_rating_c", "strap_kind", "strap_width_in", "strap_gauge", "strap_hole_in", "strap_anchor",
    "lag_diameter_in", "lag_length_in", "flexible_water_connectors", "flexible_gas_connector",
)  # fmt: skip
"""What this program fills in for nobody, though a firm that always fits the same may have it filled in."""
NOT_FILLED = ""
"""In a firm's presets: this one is asked each time."""

# Needed or not by what a later section will say; read off the plate while one stands before it.
_EARLY = frozenset({"ignition_resistant"})


@cache
def read_for_danger() -> frozenset[str]:
    """The questions that a check for danger reads, or by which it or one of them is asked at all."""
    found: set[str] = set()
    behind = [name for check in all_checks() if check.hazard for name in check.questions]
    while behind:
        name = behind.pop()
        if name not in found:
            found.add(name)
            behind += (*CATALOGUE[name].when.names, *CATALOGUE[name].absent.names)
    return frozenset(found)


@cache
def may_be_preset() -> tuple[str, ...]:
    """The questions that a firm may have filled in, in the order of the form."""
    named = {*USUAL, *FURTHER} - read_for_danger()
    return tuple(q.name for q in CATALOGUE.values() if q.name in named and asks(q))


@cache
def fixed() -> tuple[str, ...]:
    """What the program fills in and leaves to no firm, in the order of the form."""
    return tuple(q.name for q in CATALOGUE.values() if q.name in USUAL.keys() & read_for_danger())


def read_preset(name: str, given: Any) -> str:
    """Read a preset as typed, by its question's own reading.

    returns  the answer as it is stored
    raises   BadAnswer, also for a question that has no preset and an answer that says nothing
    """
    if name not in may_be_preset():
        raise BadAnswer(str(name)[:60], "a question whose answer may be preset")
    value = read_one(name, given)
    if not isinstance(value, str) or value == "unknown":
        raise BadAnswer(name, "an answer that is known, or none")
    return value


def presets_of(own: Any) -> dict[str, str]:
    """What one tap fills in for a firm, question by question.

    own  its presets as its settings hold them: question -> answer, or NOT_FILLED; what this version
         cannot read of them, or leaves to no firm, is as the program has it
    """
    presets = {name: value for name, (value, _) in USUAL.items()}
    for name, given in own.items() if isinstance(own, Mapping) else ():
        if name in may_be_preset() and given == NOT_FILLED:
            presets.pop(name, None)
            continue
        try:
            presets[name] = read_preset(name, given)
        except BadAnswer:
            continue
    return presets


def offered(
    section: str, job: Job, shown: Mapping[str, bool], spare: Collection[str], own: Any = None
) -> dict[str, str]:
    """The usual answers to the questions of a section that are asked, needed and still open.

    shown, spare  as `sheet.live.asked` gives them
    own           the firm's presets, as `presets_of` takes them
    returns       question -> answer as it is stored
    """
    return {
        name: value
        for name, value in presets_of(own).items()
        if CATALOGUE[name].section == section and shown[name] and (name not in spare or name in _EARLY)
        and name not in job.values and name not in job.state and _when(name).holds(job.look) is True
    }  # fmt: skip


def _when(name: str) -> When:
    return USUAL[name][1] if name in USUAL else ALWAYS


def filled(section: str, answers: Mapping[str, Any], own: Any = None) -> dict[str, Any]:
    """The changes that "as usual" makes in a section, those that an accepted answer brings up included.

    own      the firm's presets
    returns  question -> answer, with `accepted_as_usual` naming them and the ones accepted before
    """
    changes: dict[str, Any] = {}
    while True:
        now = {**answers, **changes}
        job = Job(now)
        more = offered(section, job, *asked(job, judged(now, job)), own)
        if not more:
            break
        changes |= more
    if changes:
        changes["accepted_as_usual"] = sorted({*answers.get("accepted_as_usual", ()), *changes})
    return changes


def told(changes: Mapping[str, str]) -> list[list[str]]:
    """Label and words of each usual answer, as a person reads what one tap fills in."""
    return [[say(CATALOGUE[name].label), words(name, value)] for name, value in changes.items()]


def words(name: str, value: str) -> str:
    """A usual answer as it is read: `3/4 in`, `Yes`, `Copper`.

    >>> words("relief_pipe_in", "0.75"), words("relief_trap", "no"), words("relief_pipe_material", "copper")
    ('3/4 in', 'No', 'Copper')
    """
    question = CATALOGUE[name]
    if value == "not_here" or question.kind == "yes_no":
        return say(value.replace("_", " ").capitalize())
    label = question.choices.get(value)
    return say(label) if label else measure(value, question.unit)
