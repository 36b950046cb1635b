"""The lines in large type: the numbers a job turns on, as a person sets, buys or marks them."""

from __future__ import annotations

from collections.abc import Mapping
from decimal import Decimal
from html import escape
from typing import Any

from ..languages import say, told
from ..rules.units import against_most, plain_up
from .bounds import bound_of, found_words, reading
from .draw.given import figures_taped
from .findings import is_known, value_of
from .gauge import to_set
from .tank import accepted_at_least
from .words import figure_words

TRAPPED = "Draw water, read the house pressure again; set tank air to"
OVER = "Reduce the house pressure first; set tank air to"
Answers = Mapping[str, Any]
Told = Mapping[str, Any]


def turning(answers: Answers, report: Told, section: str) -> list[str]:
    """The lines in large type: the numbers a job turns on in this section."""
    figures = figures_taped(report)

    def value(name: str) -> str:
        one = figures.get(name)
        return value_of(one) if one else ""

    lines: list[str] = []
    if section == "water":
        lines = _water_lines(answers, report, value)
    elif section == "place":
        lines = [
            f"{figure_words(name).here} <b>{_taped(figures[name]['taped'])}</b>"
            for name in ("upper_strap_band_in", "lower_strap_band_in")
            if value(name)
        ]
    elif section == "vent" and value("vent_capacity_btuh") and answers.get("input_btuh"):
        burns, carries = reading(str(answers["input_btuh"]), "Btu/h"), value("vent_capacity_btuh")
        judged = next((one for one in report["findings"] if one["check"] == "venting.capacity"), None)
        if judged and judged["unit"] == "Btu/h" and bound_of(judged) == "at most":
            # The two as their verdict has them: rounded apart, one could seem past the other.
            burns, carries = found_words(judged)
        lines = [
            f"{say('Vent carries')} <b>{escape(carries)}</b>",
            f"{say('This heater burns')} <b>{escape(burns)}</b>",
        ]
    elif section == "electric" and value("breaker_min_a"):
        most = value("breaker_max_a")
        low = value("breaker_min_a")
        band = say("{low} to {high}", low=low, high=most) if most else say("{low} or more", low=low)
        lines = [f"{say('Breaker')} <b>{escape(band)}</b>"]
    return lines


def _water_lines(answers: Answers, report: Told, value: Any) -> list[str]:
    figures, lines = report["figures"], []
    if value("precharge_target_psi") and answers.get("expansion_device") == "tank":
        lines.append(_air_line(answers, report))
    size = next((f for f in report["findings"] if f["check"] == "expansion.tank_large_enough"), None)
    if size and size["verdict"] == "fails" and (accepts := accepted_at_least(answers, report)):
        has = reading(str(answers.get("expansion_acceptance_gal", "")), "gal")
        lines += [
            f"{say('Tank must accept at least')} <b>{escape(accepts)} gal</b>",
            escape(say("This one accepts {size}", size=has)),
        ]
    elif size and size["verdict"] == "fails" and value("expansion_tank_needed_gal"):
        needs = f"{plain_up(Decimal(figures['expansion_tank_needed_gal']['value']))} gal"
        lines += [f"{say('Tank needs at least')} <b>{escape(needs)}</b>", _this_one(answers, report, size)]
    return lines


def _this_one(answers: Answers, report: Told, size: Mapping[str, Any]) -> str:
    """The size of the tank that is there, and the pressure that comes of it."""
    has = reading(str(answers.get("expansion_tank_gal", "")), "gal")
    held_at = (report["figures"].get("peak_pressure_as_recommended_psi") or {}).get("held_at")
    if held_at:
        opens = say("This one is {size}: with its air set so, the relief valve opens at", size=has)
        return f"{escape(opens)} <b>{escape(reading(held_at, 'psi'))}</b>"
    if reach := _reached(size):
        would = say("This one is {size}: with its air set so, pressure would reach", size=has)
        return f"{escape(would)} <b>{escape(reach)}</b>"
    return escape(say("This one is {size}", size=has))


def _air_line(answers: Answers, report: Told) -> str:
    target = report["figures"]["precharge_target_psi"]
    if read := to_set(answers, report):
        at = say("At {air} °F set the gauge to", air=read.set_at)
        there = say("which is {psi} psi at {air} °F where the tank hangs", psi=read.there, air=read.hangs_at)
        return f"{escape(at)} <b>{escape(read.gauge)} psi</b>, {escape(there)}"
    if is_known(target):
        return f"{say('Set tank air to')} <b>{escape(_short(value_of(target)))}</b>"
    trapped = answers.get("drew_water_before_reading") == "no"
    return f"{say(TRAPPED if trapped else OVER)} <b>{say('what it then reads')}</b>"


def _reached(size: Mapping[str, Any]) -> str:
    """The pressure a finding found too high, as it says it: to a whole psi, unless that hides the excess."""
    try:
        found, limit = Decimal(size["found"]), Decimal(size["limit"])
    except (ArithmeticError, TypeError):
        return ""
    return f"{against_most(found, limit, 1)[0]} {size['unit']}"


def _taped(band: str) -> str:
    """A band of heights as a tape shows it, both ends allowed; fractions and unit set small."""
    words = told("figures", f"{band} in").split(" ")
    small = (
        f'<span class="fraction"> {word}</span>' if "/" in word or word == "in" else f" {word}"
        for word in words
    )
    return "".join(small).strip()


def _short(text: str) -> str:
    number, _, unit = text.partition(" ")
    try:
        value = Decimal(number.replace(",", ""))
    except ArithmeticError:
        return text
    return f"{value.normalize():f} {unit}" if value == value.to_integral_value() else text
