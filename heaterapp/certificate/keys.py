"""The numbers that a job turns on, set large at the head of its paper."""

from __future__ import annotations

from collections.abc import Mapping
from decimal import Decimal
from typing import Any

from heaterapp.rules import CATALOGUE
from heaterapp.rules.units import rounded_up
from heaterapp.sheet.answered import told
from heaterapp.sheet.bounds import reading
from heaterapp.sheet.findings import is_known, is_open_item
from heaterapp.sheet.gauge import to_set
from heaterapp.sheet.tank import accepted_at_least, is_open_system, relief_opens_at

from .figures import bare
from .paper import Key
from .parties import Answers
from .saying import built, own

Report = Mapping[str, Any]

MOST_KEYS = 5
KEY_FIGURES = (
    ("precharge_at_air_f_psi", "Tank air to set"), ("peak_pressure_psi", "Pressure when hot"),
    ("breaker_min_a", "Breaker, at least"),
    ("heater_amps", "Current drawn"), ("vent_end_needed_in", "Vent above roof, at least"),
)  # fmt: skip
HOUSE = ("house_pressure_psi",), "House pressure"
HOT_WATER = (
    (("thermostat_f", "outlet_temperature_f"), "Set temperature, and at a tap"),
    (("thermostat_f",), "Set temperature"), (("outlet_temperature_f",), "Hot water at a tap"),
)  # fmt: skip
"""What was set and what was measured stand in one place; the first of these that can be told does."""
KEY_ANSWERS = (HOUSE, *HOT_WATER)
IF_CLOSED = "Pressure when hot, if closed"
AIR_NEEDED = ("precharge_target_psi", "Tank air needed")
"""Stands for the gauge's reading where that is not worked: its air's temperature was not told."""
NEEDED = ("expansion_tank_needed_gal", "Expansion tank, at least")


def keys_of(answers: Answers, report: Report) -> tuple[Key, ...]:
    """The keys of one job, in the order in which they matter; at most MOST_KEYS."""
    figures = report["figures"]
    found: list[Key] = []
    tank = answers.get("expansion_device") == "tank"
    if _tank_is_wanted(report):
        accepts = accepted_at_least(answers, report)
        if accepts:
            found.append(Key(own("Tank to accept, at least"), accepts, "gal"))
        else:
            _add_figure(found, figures.get(NEEDED[0]), NEEDED[1])
    air = KEY_FIGURES[0] if KEY_FIGURES[0][0] in figures else AIR_NEEDED
    for name, label in (air, KEY_FIGURES[1]) if tank else ():
        read = to_set(answers, report) if name == KEY_FIGURES[0][0] else None
        if read:
            found.append(Key(own(label), read.gauge, own("psi at {air} °F", air=read.set_at)))
        elif name == "peak_pressure_psi" and (opens_at := relief_opens_at(answers, report)):
            found.append(Key(own("Relief valve opens when hot"), opens_at, "psi"))
        elif name != "peak_pressure_psi":
            _add_figure(found, figures.get(name), label)
        elif not is_open_system(report):
            unseen = (figures.get("closed_system") or {}).get("value") == "unknown"
            _add_figure(found, figures.get(name), IF_CLOSED if unseen else label)
    _add_answer(found, answers, *HOUSE)
    for names, label in HOT_WATER:
        if _add_answer(found, answers, names, label):
            break
    straps = answers.get("strap_heights_in")
    if isinstance(straps, list) and straps:
        found.append(
            Key(
                own("Straps from the floor"),
                ", ".join(reading(str(one), "in").removesuffix(" in") for one in straps),
                "in",
            )
        )
    for name, label in KEY_FIGURES[2:]:
        _add_figure(found, figures.get(name), label)
    return tuple(found[:MOST_KEYS])


def _add_answer(found: list[Key], answers: Answers, names: tuple[str, ...], label: str) -> bool:
    """Answers of one unit as a key, if all of them were given as numbers."""
    texts = [told(answers, name) for name in names]
    if any(isinstance(answers.get(name), dict) for name in names) or not all(t[:1].isdigit() for t in texts):
        return False
    unit = "°F" if texts[0].endswith("°F") else CATALOGUE[names[0]].unit
    found.append(Key(own(label), ", ".join(text.removesuffix(unit).strip() for text in texts), unit))
    return True


def _tank_is_wanted(report: Report) -> bool:
    """A tank of another size is to be fitted: only then is the size a number that the job turns on."""
    wanted = ("expansion.tank_large_enough", "expansion.control_on_closed_system")
    return any(one["check"] in wanted and is_open_item(one) for one in report["findings"])


def _add_figure(found: list[Key], figure: Mapping[str, Any] | None, label: str) -> None:
    if figure is not None and not is_known(figure):
        found.append(Key(own(label), "", "", built("figures", figure["says"])))
    elif figure is not None and isinstance(figure["value"], str):
        value = figure["value"] if figure["unit"] != "gal" else str(rounded_up(Decimal(figure["value"])))
        found.append(Key(own(label), bare(value, figure["unit"]), figure["unit"]))
    elif figure is not None and figure["value"] is None and figure.get("says"):
        found.append(Key(own(label), "", "", built("figures", figure["says"])))
