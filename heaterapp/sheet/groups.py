"""A section's questions under headings, so that a phone shows them a part at a time.

Standard library only: the same headings serve the server's page and the phone's.
"""

from __future__ import annotations

from collections.abc import Collection, Iterable, Mapping
from typing import Any, NamedTuple

from ..languages import say
from ..rules.questions import CATALOGUE
from .words import Words

STANDS_AT = {
    "supply.prv_where_needed": "street_pressure_psi",
    "expansion.control_on_closed_system": "expansion_device",
}
"""These read a later question for what their fix says alone: the verdict stands where it is about."""

HEADINGS: dict[str, tuple[tuple[str, Words], ...]] = {
    "job": (
        ("job_ref", Words("Kind of job and codes", "Tipo de trabajo y códigos")),
        ("address_street", Words("Address", "Dirección")),
        ("building_kind", Words("Building and permit", "Edificio y permiso")),
        ("work_date", Words("Who did the work, and when", "Quién hizo el trabajo y cuándo")),
    ),
    "plate": (
        ("heater_kind", Words("Kind of heater", "Tipo de calentador")),
        ("heater_maker", Words("Which heater", "Qué calentador")),
        ("storage_gal", Words("Size and input", "Tamaño y potencia")),
        ("bathrooms", Words("Use, pressure, temperature", "Uso, presión, temperatura")),
        ("listed_for_outdoors", Words("Burner and markings", "Quemador y marcas")),
        ("dry_weight_lb", Words("Weight and clearance", "Peso y separación")),
    ),
    "water": (
        ("drew_water_before_reading", Words("Pressure", "Presión")),
        ("prv_bypass", Words("On the cold pipe", "En la tubería fría")),
        ("expansion_device", Words("Expansion", "Expansión")),
        ("pipe_insulation_in", Words("Pipes at the heater", "Tuberías del calentador")),
    ),
    "relief": (
        ("relief_fitted", Words("Relief valve", "Válvula de alivio")),
        ("relief_end", Words("Relief pipe", "Tubo de la válvula")),
        ("leak_would_damage", Words("Leaks and pan", "Fugas y bandeja")),
    ),
    "vent": (
        ("vent_kind", Words("Vent and connector", "Tubo y conector")),
        ("vent_shared", Words("The vent itself", "El tubo")),
        ("vent_marked_clearance_in", Words("Clearances", "Separaciones")),
        ("vent_firestops", Words("Supports and length", "Soportes y longitud")),
        ("roof_pitch_in_12", Words("Above the roof", "Sobre el techo")),
        ("wall_terminal_below_opening_in", Words("Through the wall", "A través de la pared")),
        ("common_vent_diameter_in", Words("Shared vent", "Tubo común")),
        ("air_source", Words("Air", "Aire")),
    ),
    "electric": (
        ("volts", Words("Supply", "Alimentación")),
        ("wire_awg", Words("Wire", "Cable")),
        ("disconnect", Words("Switch and bonding", "Interruptor y puesta a tierra")),
    ),
    "place": (
        ("room", Words("Room", "Cuarto")),
        ("ignition_height_in", Words("Around the heater", "Alrededor del calentador")),
        ("attic_opening_in", Words("Attic", "Ático")),
        ("condensate_end", Words("Condensate", "Condensado")),
        ("tank_base_in", Words("Tank, with a tape from the floor", "Tanque, con cinta desde el piso")),
        ("strap_kind", Words("Straps", "Correas")),
        ("strap_anchor", Words("What holds them", "Lo que las sujeta")),
        ("wall_gap_in", Words("Gap and stand", "Separación y base")),
    ),
    "alarms": (
        ("hazard_found", Words("Anything dangerous", "Algo peligroso")),
        ("co_alarm_outside_sleeping", Words("Alarms", "Alarmas")),
        ("filled_and_purged", Words("Start-up", "Arranque")),
    ),
}  # fmt: skip
"""Section -> its headings, each with the question it begins at; the order is that of the questions."""


FEW = 2
AT_ONCE = 10
"""Questions to answer that stand open at once, about two screens; the headings after them open in turn."""


class Group(NamedTuple):
    """Some questions of a section under one heading.

    title   the heading; "" in a section that has none
    names   its questions, asked or not
    asked   how many of them are asked now
    usual   how many of those were accepted as usual
    folded  all that is asked is answered and nothing in it wants a word; or its turn comes later
    shown   what was chosen, in words, where so few questions are asked that a line tells it
    left    how many have no answer yet
    waits   how many are counted as to answer: a verdict waits for them
    speaks  something under its fields wants a word
    """

    title: str
    names: tuple[str, ...]
    asked: int
    usual: int
    folded: bool
    shown: str
    left: int
    waits: int
    speaks: bool


def groups(
    section: str,
    names: Iterable[str],
    now: Mapping[str, Any],
    answers: Mapping[str, Any],
    wrong: Collection[str],
) -> list[Group]:
    """A section's questions by heading, in the order in which they are measured.

    names    the questions that stand under headings
    now      what `live` told: `asked`, `todo` and `said`
    answers  the stored answers
    wrong    names of those whose answer could not be saved: never folded away
    """
    starts = dict(HEADINGS.get(section, ()))
    kept = set(names)
    parts: list[tuple[str, list[str]]] = [("", [])]
    for question in CATALOGUE.values():
        if question.section != section:
            continue
        if question.name in starts:
            parts.append((starts[question.name].here, []))
        if question.name in kept:
            parts[-1][1].append(question.name)
    return _in_turn([_group(title, mine, now, answers, wrong) for title, mine in parts if mine], set(wrong))


def _group(
    title: str, names: list[str], now: Mapping[str, Any], answers: Mapping[str, Any], wrong: Collection[str]
) -> Group:
    open_ones = [n for n in names if now["asked"][n]]
    speaks = any('class="finding ' in now["said"].get(n, "") or n in now["flags"] for n in names)
    done = bool(open_ones) and all(n in answers for n in open_ones)
    folded = bool(title) and done and not speaks and not any(n in wrong for n in names)
    accepted = answers.get("accepted_as_usual") or ()
    chosen = [CATALOGUE[n].choices.get(str(answers.get(n)), "") for n in open_ones]
    shown = ", ".join(say(one) for one in chosen if one) if len(open_ones) <= FEW else ""
    usual = sum(n in accepted for n in open_ones)
    left = sum(n not in answers for n in open_ones)
    waits = sum(n in now["todo"] for n in names)
    return Group(title, tuple(names), len(open_ones), usual, folded, shown, left, waits, speaks)


def _in_turn(parts: list[Group], wrong: set[str]) -> list[Group]:
    """Fold what comes after as many open questions as a person takes in at once, unless it wants a word."""
    ahead, told = 0, []
    for part in parts:
        waits = bool(part.title and ahead) and ahead + part.asked > AT_ONCE
        waits = waits and part.left == part.asked > 0 and not part.speaks and wrong.isdisjoint(part.names)
        told.append(part._replace(folded=part.folded or waits))
        ahead += part.left
    return told
