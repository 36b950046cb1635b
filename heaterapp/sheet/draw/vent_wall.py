"""The end of a vent in an outside wall, seen from outdoors: openings, ground and snow around it, to scale."""

from __future__ import annotations

import re
from collections.abc import Mapping
from dataclasses import dataclass
from decimal import Decimal
from typing import Any

from heaterapp.rules.units import Unreadable, parse_length, plain

from .given import answer, finding
from .shapes import (
    Label,
    asked_taped,
    box,
    cited,
    drawing,
    found_taped,
    hatch,
    kept,
    labels,
    level_dimension,
    line,
    named,
    taped,
    upright_dimension,
    words,
)

TOP, LEFT, MIDDLE, RIGHT = Decimal(16), Decimal(20), Decimal(96), Decimal(166)
LABELS = Decimal(180)
LETTERS = 20
APART = Decimal(17)
TALLEST, WIDEST = Decimal(206), Decimal(62)
MOST_AN_INCH = Decimal(3)
OPENING = Decimal(14)
FARTHEST_IN = Decimal(144)
"""Farther than this a distance is told in words only: it would shrink all the others."""
DIMENSION, FIGURE = Decimal(50), Decimal(44)
FIGURE_LETTERS = 5
SMALLEST = Decimal(7)
CHECK = "venting.wall_terminal"
WHERE = ("below", "beside", "above")
USUAL_SIZE_IN = Decimal(4)
QUIET = "label quiet"
_LIMITS = re.compile(r"(.+) below, (.+) beside, (.+) above an opening; (.+) above ground")


@dataclass(frozen=True, slots=True)
class WallEnd:
    """Distances found around the terminal and asked of it, in inches."""

    size: Decimal | None
    around: tuple[Decimal | None, Decimal | None, Decimal | None]
    ground: Decimal | None
    snow: Decimal | None
    walkway: Decimal | None
    regulator_ft: Decimal | None
    neighbour_ft: Decimal | None
    asked: tuple[Decimal | None, Decimal | None, Decimal | None]
    ground_asked: Decimal | None
    section: str

    def short(self, at: int) -> bool:
        """Whether the distance to an opening is less than is asked."""
        found, asked = self.around[at], self.asked[at]
        return found is not None and asked is not None and found < asked


def _inches(text: str) -> Decimal | None:
    try:
        return parse_length(text)
    except Unreadable:
        return None


def wall_end(answers: Mapping[str, Any], report: Mapping[str, Any]) -> WallEnd | None:
    """Gather what is known; None where no distance that can be drawn is."""

    def told(name: str) -> Decimal | None:
        value = answer(answers, name)
        return value if isinstance(value, Decimal) else None

    around = tuple(told(f"wall_terminal_{where}_opening_in") for where in WHERE)
    ground = told("wall_terminal_above_grade_in")
    if not any(one is not None and one <= FARTHEST_IN for one in (*around, ground)):
        return None
    found = finding(report, CHECK)
    limits = _LIMITS.fullmatch(str(found.get("limit") or ""))
    asked = [_inches(one) for one in limits.groups()] if limits else [None] * 4
    return WallEnd(
        told("vent_diameter_in"), (around[0], around[1], around[2]), ground, told("snow_depth_in"),
        told("wall_terminal_beside_walkway_height_in"), told("wall_terminal_to_gas_regulator_ft"),
        told("neighbour_opening_ft"),
        (asked[0], asked[1], asked[2]), asked[3], str(found.get("section", "")) if limits else "",
    )  # fmt: skip


def _near(value: Decimal | None) -> Decimal:
    return value if value is not None and value <= FARTHEST_IN else Decimal(0)


def _reach(found: Decimal | None, asked: Decimal | None) -> Decimal:
    """How much room a distance takes on the drawing, its limit included, in inches."""
    return max(found, _near(asked)) if found is not None and found <= FARTHEST_IN else Decimal(0)


@dataclass(frozen=True, slots=True)
class _Sheet:
    """Where the terminal and the ground stand on the sheet, and units an inch."""

    scale: Decimal
    wide: Decimal
    y: Decimal
    grade: Decimal | None

    @classmethod
    def of(cls, end: WallEnd) -> _Sheet:
        below, beside, above = (_reach(*pair) for pair in zip(end.around, end.asked, strict=True))
        half = max((end.size or USUAL_SIZE_IN) / 2, Decimal(1))
        ground = _near(end.ground)
        if ground:
            below = max(below, _near(end.ground_asked) - ground - 2 * half)
        under = max(ground, above + half)
        scale = min(
            (TALLEST - 2 * OPENING) / (below + under + 3 * half),
            (WIDEST - OPENING / 2) / max(beside + half, half * 2),
            MOST_AN_INCH,
        )
        wide = max(half * scale, SMALLEST / 2)
        y = TOP + OPENING + below * scale + wide
        drawn = end.ground is not None and end.ground <= FARTHEST_IN
        return cls(scale, wide, y, y + wide + ground * scale if drawn else None)


@kept
def wall_svg(end: WallEnd) -> str:
    """The drawing; while everything else of a section is typed it stays the same."""
    at = _Sheet.of(end)
    marks: list[Label] = []
    parts = [box("controls", MIDDLE - at.wide, at.y - at.wide, 2 * at.wide, 2 * at.wide)]
    if end.size is not None:
        marks.append(Label(at.y, named(taped(end.size), "terminal", LETTERS), QUIET))
    lowest = at.y + at.wide
    if at.grade is not None:
        lowest = at.grade
        parts += _ground(end, at, at.grade, marks)
    for n, where in enumerate(WHERE):
        found, asked = end.around[n], end.asked[n]
        if found is None or found > FARTHEST_IN:
            continue
        far = found * at.scale
        near = None if asked is None else _near(asked) * at.scale
        place = (
            at.y - OPENING if where == "beside" else at.y + (-1 if where == "below" else 1) * (at.wide + far)
        )
        parts += _beside(at, far, near) if where == "beside" else _over(at, where, place, near)
        kind = "label strong fails" if end.short(n) else "label strong"
        marks.append(Label(place, named(found_taped(found, asked), f"{where} opening", LETTERS), kind))
        if asked is not None:
            marks.append(Label(place + 1, cited(asked_taped(found, asked), end.section, LETTERS), QUIET))
        lowest = max(lowest, place + OPENING) if where == "above" else max(lowest, at.y + 2 * OPENING)
    bottom = max(lowest + 10, TOP + APART * len(marks))
    parts += labels(marks, RIGHT + 2, LABELS, APART, TOP, bottom)
    said = wall_words(end)
    return drawing("vent", bottom + 10, "The vent's end in the wall, seen from outdoors", said, parts)


def _beside(at: _Sheet, far: Decimal, near: Decimal | None) -> list[str]:
    """An opening to the side where it was found, and how near one may be, as a dashed line."""
    left = MIDDLE + at.wide
    edge, high, low = left + far, at.y - OPENING, at.y + OPENING
    parts = [box("stand", edge, high, OPENING, 2 * OPENING)]
    parts += level_dimension(at.y + at.wide + 8, left, edge, at.y)
    if near is not None:
        parts.append(line("limit", left + near, high, left + near, low))
    return parts


def _over(at: _Sheet, where: str, edge: Decimal, near: Decimal | None) -> list[str]:
    """An opening that the terminal is below or above, its edge where it was found."""
    up = where == "below"
    tall = OPENING if up or at.grade is None else max(min(OPENING, at.grade - edge), SMALLEST / 2)
    side = at.y - at.wide if up else at.y + at.wide
    parts = [box("stand", MIDDLE - 2 * OPENING, edge - (tall if up else 0), 2 * OPENING, tall)]
    parts.append(line("thin", MIDDLE, side, MIDDLE, edge))
    if near is not None:
        limit = side - near if up else side + near
        parts.append(line("limit", MIDDLE - 34, limit, MIDDLE + 34, limit))
    return parts


def _ground(end: WallEnd, at: _Sheet, floor: Decimal, marks: list[Label]) -> list[str]:
    under = at.y + at.wide
    found = found_taped(end.ground or Decimal(0), end.ground_asked)
    parts = [line("floor", LEFT, floor, RIGHT, floor)]
    parts.append(hatch("ground", LEFT, floor, RIGHT - LEFT, Decimal(6), 8))
    parts += upright_dimension(DIMENSION, under, floor, MIDDLE)
    # A longer figure stands at the ground's own label alone.
    if len(found) <= FIGURE_LETTERS:
        parts.append(words("label end", FIGURE, (under + floor) / 2 + 4, found))
    short = end.ground_asked is not None and (end.ground or Decimal(0)) < end.ground_asked
    marks.append(
        Label(floor, named(found, "above ground", LETTERS), f"label strong{' fails' if short else ''}")
    )
    if end.ground_asked is not None and end.ground_asked <= FARTHEST_IN:
        asked = floor - end.ground_asked * at.scale
        parts.append(line("limit", DIMENSION + 6, asked, MIDDLE - 10, asked))
        least = asked_taped(end.ground, end.ground_asked)
        marks.append(Label(asked, cited(least, end.section, LETTERS), QUIET))
    deep = (end.snow or Decimal(0)) * at.scale
    if 0 < deep < floor - TOP:
        parts.append(hatch("keep-clear", RIGHT - 24, floor - deep, Decimal(24), deep, 5))
        marks.append(Label(floor - deep, named(taped(end.snow or Decimal(0)), "snow", LETTERS), QUIET))
    return parts


def wall_words(end: WallEnd) -> list[str]:
    """What is drawn as sentences, and what lies too far off to be."""
    said = ["Terminal in an outside wall." if end.size is None else f"Terminal {taped(end.size)} in across."]
    for found, asked, where in zip(end.around, end.asked, WHERE, strict=True):
        if found is not None:
            said.append(f"{found_taped(found, asked)} in {where} an opening{_asked(end, found, asked)}.")
    if end.ground is not None:
        snow = f", snow {taped(end.snow)} in" if end.snow else ""
        high, least = found_taped(end.ground, end.ground_asked), _asked(end, end.ground, end.ground_asked)
        said.append(f"{high} in above the ground{least}{snow}.")
    if end.walkway is not None:
        said.append(f"{taped(end.walkway)} in above a walkway beside it.")
    others = ((end.regulator_ft, "a gas regulator's vent"), (end.neighbour_ft, "the next building's opening"))
    said += [f"{plain(far, 2)} ft to {name}." for far, name in others if far is not None]
    return said


def _asked(end: WallEnd, found: Decimal, limit: Decimal | None) -> str:
    if limit is None:
        return ""
    return f", {asked_taped(found, limit)} in asked" + (f" ({end.section})" if end.section else "")
