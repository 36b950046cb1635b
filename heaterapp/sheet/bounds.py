"""Found and limit as they are read, on screen and on paper: rounded, with their unit, and which way the limit bounds."""

# ruff: noqa: E501 - a topic's checks stand on one line
from __future__ import annotations

import re
from collections.abc import Mapping
from decimal import Decimal
from functools import lru_cache
from typing import Any

from ..languages import say, spoken
from ..rules.units import bare, eighths, is_sixteenth, parse_length, plain, rounded
from .brief import HUNDREDTH, STEPS, as_read, places_of
from .draw.given import number
from .phrases import PERMIT, asked_phrase, found_phrase, permit_found
from .words import unit_shown

Item = Mapping[str, Any]

AT_LEAST = frozenset((
    "gas.connector_capacity", "gas.inlet_pressure", "gas.piping_tested",
    "air.clear_for_one_opening", "air.enough_air", "air.intake_above_ground", "air.opening_dimension", "air.screen_mesh",
    "expansion.tank_rated_for_pressure", "venting.not_smaller_than_outlet", "heater.first_hour_rating", "heater.working_pressure_covers_relief", "pan.depth",
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
    "relief.pressure_setting", "relief.temperature_setting", "seismic.gap_blocked", "seismic.sideways_restraint", "seismic.within_prescriptive_size", "supply.pressure_within_limit",
    "supply.prv_holds_setting", "supply.prv_where_needed", "supply.unions", "temperature.scald_guard", "venting.connector_length",
    "venting.length_within_maker", "venting.not_oversized", "venting.offset_angle",
))  # fmt: skip
EITHER_WAY = frozenset((
    "electric.breaker", "electric.conductor", "seismic.fasteners_strong_enough", "venting.capacity",
    "venting.other_connector_capacity", "venting.resized_after_removal", "venting.shared_capacity",
))
SETTINGS = frozenset(("expansion.precharge_air_corrected", "expansion.precharge_matches_house"))
FOUND_AS = {
    "supply.prv_holds_setting": "{found} off", "venting.single_wall_place": "{found} in winter",
    "expansion.tank_can_hold_it": "{found} of water",
}  # fmt: skip
WORDS_AT_LEAST = frozenset((
    "place.work_space", "seismic.lag_size", "seismic.lower_strap_clear_of_controls", "seismic.strap_material",
    "supply.pipes_insulated",
))  # fmt: skip
COUNTED = {
    "seismic.strap_count": "strap", "gas.connector": "connector", "venting.connector_joints": "screw",
}  # fmt: skip
COUNTS = ("strap", "straps", "connector", "connectors", "screw", "screws")
NO_LIMIT = {"expansion.tank_can_hold_it": "the tank holds"}
BOUNDS = ("at least", "at most", "else at least", "else at most", "within", "limit", "required", "advised", *NO_LIMIT.values())
"""AT_LEAST and AT_MOST: checks whose limit, where it is a number, is always the smallest or always the largest allowed. EITHER_WAY: it is the one or
the other, and meets or fails by it. SETTINGS: the number is itself what is wanted. FOUND_AS: what a found number is, where the check's name
does not say it. WORDS_AT_LEAST: a limit that is no single number is the smallest allowed. COUNTED: what a bare number counts. NO_LIMIT: what stands in the place of a limit is a property of the part itself."""
RANGE = re.compile(r"[0-9][0-9/ .]* to [0-9][0-9/ .]*")
PAIR = re.compile(r"[0-9][0-9/ .]* x [0-9][0-9/ .]*")


def measure(value: str | None, unit: str) -> str:
    """A found value or a limit as it is read: inches as a tape, thousands apart, unit behind.

    >>> measure("14.375", "in"), measure("40000", "Btu/h"), measure("yes", ""), measure("6 to 24", "in")
    ('14 3/8 in', '40,000 Btu/h', 'yes', '6 to 24 in')
    """
    return "" if value is None else _measured(value, unit_shown(unit), unit)


@lru_cache(maxsize=5000)
def _measured(value: str, shown: str, unit: str) -> str:
    try:
        amount = Decimal(value)
    except ArithmeticError:
        return f"{value} {shown}" if shown and (RANGE.fullmatch(value) or PAIR.fullmatch(value)) else value
    if not amount.is_finite():
        return value
    text = f"{amount:,f}"
    if unit == "in":
        text = eighths(amount) if is_sixteenth(amount) else plain(amount, 28)
    return f"{text}{'' if shown == '°' else ' '}{shown}".strip() if shown else text


def reading(value: str, unit: str) -> str:
    """An answer by itself as it is read, by `as_read`, with its unit; words as they are.

    >>> reading("36.33333333333333333333333333", "in"), reading("not_here", "psi"), reading("60", "psi")
    ('36.33 in', 'not_here', '60 psi')
    """
    exact = number(value)
    return measure(value if exact is None else format(as_read(exact, unit), "f"), unit)


def in_print(
    found: str | None, limit: str | None, unit: str, bound: str = "", told: tuple[str, str] = ("", "")
) -> tuple[str, str]:
    """Found and limit to the places that their unit needs; what is allowed rounded down, what is asked up.

    bound  which way the limit bounds, as `bound_of` says it: rounded so, it is never told on its unsafe side
    told   found and limit as their sentence tells them, "" where it does not: beside it they are never others

    What was found is rounded the other way: a load is never told below itself, what is there never above.
    Where rounding would bring the two together, or set them the other way round, all places stay.

    >>> in_print("105000", "15354.237", "Btu/h", "at least"), in_print("80.04", "80", "psi")
    (('105,000 Btu/h', '15,355 Btu/h'), ('80.04 psi', '80 psi'))
    >>> in_print("68.329", "80", "psi"), in_print("40000", "45800.7", "Btu/h", "at most")
    (('68.3 psi', '80 psi'), ('40,000 Btu/h', '45,800 Btu/h'))
    """
    step, exact = STEPS.get(unit), (number(found), number(limit))
    if step:
        least, most = bound.endswith("at least"), bound.endswith(("at most", *NO_LIMIT.values()))
        sides = {"up": most, "down": least}, {"up": least, "down": most}
        brief = tuple(
            one if one is None else Decimal(said) if said else min(one, Decimal(rounded(one, step, **way)), key=places_of)
            for one, way, said in zip(exact, sides, told, strict=True)
        )
        if exact[0] == exact[1]:
            brief = exact
        if exact[0] is not None and brief[0] is not None and any(
            _order((brief[0], edge)) != _order((exact[0], edge)) for edge in _band(limit)
        ):
            brief = exact
        if None in exact or _order(brief) == _order(exact):
            found, limit = (
                text if one is None else format(one, "f")
                for text, one in zip((found, limit), brief, strict=True)
            )
    elif unit == "in" and exact[0] is not None:
        # As they are told, else as the answer is read by itself, where that is neither on an edge nor over one.
        if told[1] and _order((exact[0], Decimal(told[1]))) == _order(exact):
            limit = told[1]
        edges, brief_in = _edges(limit), Decimal(told[0]) if told[0] else as_read(exact[0], unit)
        if not told[0] and bound.endswith("at least") and brief_in > exact[0]:
            brief_in = Decimal(rounded(exact[0], HUNDREDTH.scaleb(min(0, 2 - places_of(brief_in))), down=True))
        if all(_order((brief_in, edge)) == _order((exact[0], edge)) for edge in edges):
            found = format(brief_in, "f")
    return measure(found, unit), measure(limit, unit)


def _edges(limit: str | None) -> list[Decimal]:
    return _band(limit) or [one for one in [number(limit)] if one is not None]


def _band(limit: str | None) -> list[Decimal]:
    return [parse_length(end) for end in limit.split(" to ")] if limit and RANGE.fullmatch(limit) else []


def _order(pair: Any) -> int:
    return (pair[0] > pair[1]) - (pair[0] < pair[1])


def bound_of(finding: Item) -> str:
    """What stands before a limit: which way a number bounds, or that words say what was wanted.

    >>> bound_of({"check": "venting.end_above_roof", "found": "18", "limit": "12"})
    'at least'
    >>> bound_of({"check": "place.ignition_height", "found": "sealed", "limit": "18", "verdict": "meets"})
    'else at least'
    >>> bound_of({"check": "relief.end_height", "found": "12", "limit": "6 to 24"})
    'within'
    >>> bound_of({"check": "electric.conductor", "found": "30", "limit": "25", "verdict": "meets"})
    'at least'
    >>> bound_of({"check": "venting.vented", "found": "type b", "limit": "a vent"})
    'required'
    """
    check, limit = finding.get("check", ""), str(finding["limit"])
    if number(finding["limit"]) is None:
        if RANGE.fullmatch(limit):
            return "within"
        if check in WORDS_AT_LEAST and any(letter.isdigit() for letter in limit):
            return "at least"
        return _asked(finding) if finding["limit"] else ""
    if check in SETTINGS:
        return _asked(finding)
    if check in NO_LIMIT:
        return NO_LIMIT[check]
    for word, checks in (("at least", AT_LEAST), ("at most", AT_MOST)):
        if check in checks:
            if number(finding["found"]) is not None:
                return word
            # What is met without a number is met instead of the number.
            return f"else {word}" if finding["verdict"] == "meets" else "limit"
    if check not in EITHER_WAY:
        return "limit"
    over = over_limit(finding)
    if over and finding["verdict"] in ("meets", "fails"):
        return "at least" if (over > 0) == (finding["verdict"] == "meets") else "at most"
    return "limit"


def _asked(finding: Item) -> str:
    return "advised" if finding.get("kind") == "advice" else "required"


def over_limit(finding: Item) -> Decimal | None:
    """How far a found number is over its limit; None where either is not a number."""
    found, limit = number(finding["found"]), number(finding["limit"])
    return None if found is None or limit is None else found - limit


def found_words(finding: Item) -> tuple[str, str]:
    """Found and limit as words, each with its unit; a number says what it is where the check's name does not."""
    check = finding.get("check", "")
    why = str(finding.get("why", ""))
    unit = finding["unit"]
    bound = bound_of(finding)
    need = bound.endswith("at least")
    as_told = told_of(finding["found"], unit, why, up=not need), told_of(finding["limit"], unit, why, up=need)
    said, most = _words(check, finding["found"], finding["limit"], unit, bound, as_told, spoken())
    return (permit_found(finding) or said if check == PERMIT else said), most


def told_of(value: str | None, unit: str, why: str, *, up: bool = False) -> str:
    """A number with decimals as its sentence tells it: with all its places, or rounded as its unit is; else "".

    >>> told_of("663.75", "lb", "It may carry 663.7 lb."), told_of("0.565", "gal", "Of 2 gal 0.565 is in it.")
    ('663.7', '0.565')
    """
    if not value or "." not in value or (exact := number(value)) is None:
        return ""
    step = STEPS.get(unit) or (HUNDREDTH if unit == "in" else None)
    ways = [{"down": True}, {}, {"up": True}] if step else []
    tried = [exact, *(Decimal(rounded(exact, step, **way)) for way in (reversed(ways) if up else ways) if step)]
    stands = (one for one in tried if re.search(rf"(?<![\d.,/]){re.escape(_written(one, unit))}(?![\d/]|[.,]\d| \d+/)", why))
    return next((bare(one, 28) for one in stands), "")


def _written(value: Decimal, unit: str) -> str:
    return eighths(value) if unit == "in" else plain(value, 28)


@lru_cache(maxsize=5000)
def _words(
    check: str, found: str | None, limit: str | None, unit: str, bound: str, as_told: tuple[str, str], language: str
) -> tuple[str, str]:
    # A page asks for the same words at a question, in its section and in the list of all.
    said, most = (
        _counted(text, unit, COUNTED.get(check, "")) for text in in_print(found, limit, unit, bound, as_told)
    )
    what = FOUND_AS.get(check) if number(found) is not None else None
    said, most = found_phrase(check, said), asked_phrase(check, most)
    return say(what, found=said) if what else said, most


def _counted(text: str, unit: str, what: str) -> str:
    """A number without a unit of its own, with what it counts behind it."""
    if number(text.replace(",", "")) is None:
        return text
    if unit == "ratio":
        return say("1 time" if text == "1" else "{number} times", number=text)
    if not what:
        return text
    return f"{text} {say(what if text == '1' else what + 's')}"
