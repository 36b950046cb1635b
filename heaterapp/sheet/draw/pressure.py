"""Pressure while the water heats: the expansion tank as set, as recommended, and no tank at all."""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from decimal import Decimal
from itertools import pairwise
from typing import Any

from heaterapp.rules.units import plain, rounded_up

from .heating import Heating, end_of, heating_of
from .house_pressure import house_svg, house_words
from .shapes import LETTER, Label, drawing, kept, labels, line, path, words

LEFT, RIGHT = Decimal(36), Decimal(208)
TOP, BOTTOM = Decimal(22), Decimal(156)
LABELS = Decimal(226)
APART = Decimal(17)
LETTERS = 14
BETWEEN = 12
FARTHEST = 6

Line = list[tuple[Decimal, Decimal]]


def _psi(job: Heating, reached: Decimal) -> str:
    """A pressure when hot, rounded up; where that is on or over what it stays under, just under that."""
    shown = rounded_up(reached)
    for edge in (job.relief_psi, *((job.book.psi,) if job.book else ())):
        if reached < edge <= shown:
            return f"just under {plain(edge, 1)}"
    return plain(shown, 1)


def pressure_svg(answers: Mapping[str, Any], report: Mapping[str, Any]) -> str | None:
    """Draw pressure over temperature; else a house pressure over its limit; None where neither is known.

    With no tank, and none that could be named, a house pressure over its limit comes first.
    """
    job = heating_of(answers, report)
    house = None if job and (job.as_set or job.recommended) else house_svg(answers, report)
    return house or (_drawn(job) if job else None)


@kept
def _drawn(job: Heating) -> str:
    # While everything else of a section is typed the pressures stay the same.
    highest = job.relief_psi * Decimal("1.08")

    def x(water_f: Decimal) -> Decimal:
        return LEFT + (water_f - job.cold_f) / (job.hot_f - job.cold_f) * (RIGHT - LEFT)

    def y(psi: Decimal) -> Decimal:
        return BOTTOM - psi / highest * (BOTTOM - TOP)

    parts = _axes(job, x, y, highest)
    parts.append(line("limit", LEFT, y(job.relief_psi), RIGHT, y(job.relief_psi)))
    parts.append(
        words(
            "label middle",
            (LEFT + RIGHT) / 2,
            y(job.relief_psi) - 5,
            f"relief valve {plain(job.relief_psi, 1)} psi",
        )
    )
    ends: list[Label] = []
    drawn: list[Line] = []
    for curve, kind, name in (
        (job.no_tank, "no-tank", "no tank"),
        (None if job.as_advised else job.recommended, "recommended", job.recommended_name),
        (job.as_set, "as-set", "as set"),
    ):
        if curve:
            drawn.append([(x(one.water_f), y(one.pressure_psig)) for one in curve])
            parts.append(path(f"curve {kind}", drawn[-1]))
            ends.append(
                Label(
                    y(end_of(curve)),
                    _psi(job, end_of(curve)),
                    "label strong" if kind == "as-set" else "label",
                    name,
                )
            )
    if job.book:
        limit, section, advised = job.book
        parts.append(line("limit", LEFT, y(limit), RIGHT, y(limit)))
        beside = f", {section}" if section and len(section) < LETTERS and not advised else ""
        text = f"{'advised' if advised else 'limit'} {plain(limit, 1)} psi{beside}"
        relief = [[(LEFT, y(job.relief_psi) - up), (RIGHT, y(job.relief_psi) - up)] for up in (0, 10)]
        parts += _beside_limit(drawn + relief, y(limit), text)
    parts += labels(ends, RIGHT + 2, LABELS, APART, TOP, BOTTOM)
    said = _said(job)
    return drawing("pressure", BOTTOM + 25, "Pressure while the water heats", said, parts)


def _beside_limit(drawn: Sequence[Line], y: Decimal, text: str) -> list[str]:
    """The limit's words where they cross no line: on it, under it, or farther off with a leader to it.

    drawn  the lines already there
    y      where the limit is drawn
    """
    wide = LETTER * len(text)
    points = [
        (a[0] + (b[0] - a[0]) * part / BETWEEN, a[1] + (b[1] - a[1]) * part / BETWEEN)
        for one in drawn
        for a, b in pairwise(one)
        for part in range(BETWEEN + 1)
    ]
    for far in range(FARTHEST):
        for base in (y - 5 - APART * far, y + 14 + APART * far):
            for left in (LEFT + 8, RIGHT - 4 - wide):
                crossed = any(
                    left - 3 < px < left + wide + 3 and base - 11 < py < base + 3 for px, py in points
                )
                if crossed or not TOP < base < BOTTOM - 4:
                    continue
                leader = path("leader", [(left - 3, base - 3), (left - 3, y)]) if far else ""
                return [leader, words("label", left, base, text)]
    return [words("label", LEFT + 8, y - 5, text)]


def _axes(job: Heating, x: Any, y: Any, highest: Decimal) -> list[str]:
    parts = [line("axis", LEFT, TOP - 8, LEFT, BOTTOM), line("axis", LEFT, BOTTOM, RIGHT, BOTTOM)]
    parts.append(words("label end", LEFT - 6, TOP - 6, "psi"))
    for psi in range(0, int(highest) + 1, 50):
        parts.append(line("thin", LEFT - 4, y(Decimal(psi)), LEFT, y(Decimal(psi))))
        if y(Decimal(psi)) > TOP + 4:
            parts.append(words("label end", LEFT - 6, y(Decimal(psi)) + 4, str(psi)))
    for water_f, kind in ((job.cold_f, "label"), (job.hot_f, "label middle")):
        parts.append(line("thin", x(water_f), BOTTOM, x(water_f), BOTTOM + 4))
        parts.append(
            words(kind, x(water_f) - (4 if kind == "label" else 0), BOTTOM + 19, f"{plain(water_f, 1)}")
        )
    parts.append(words("label middle", (LEFT + RIGHT) / 2, BOTTOM + 19, "water, degrees F"))
    return parts


def pressure_words(answers: Mapping[str, Any], report: Mapping[str, Any]) -> list[str]:
    """The drawing's numbers as sentences; none when nothing is drawn."""
    job = heating_of(answers, report)
    house = [] if job and (job.as_set or job.recommended) else house_words(answers, report)
    return house or (_said(job) if job else [])


def _said(job: Heating) -> list[str]:
    cold, hot = plain(job.cold_f, 1), plain(job.hot_f, 1)
    said = [f"Closed system, whole tank heated from {cold} to {hot} F, every tap shut."]
    if job.as_set:
        end = end_of(job.as_set)
        tail = ": the relief valve opens." if end >= job.relief_psi else "."
        name = "Tank as set, which is as recommended" if job.as_advised else "Tank as set"
        said.append(f"{name}: {job.cold_psi} psi cold, {_psi(job, end)} psi hot{tail}")
    size = job.recommended_gal
    if job.recommended and size is not None and not job.as_advised:
        hot_psi = _psi(job, end_of(job.recommended))
        said.append(
            f"As recommended, {plain(size, 1)} gal charged to {job.charged_psi} psi: {hot_psi} psi hot."
        )
    said.append(
        f"With no tank the pressure runs up to the relief setting of {plain(job.relief_psi, 1)} psi within "
        "the first degrees, how steeply nobody measured: drawn straight up."
    )
    if job.book:
        limit, section, advised = job.book
        if advised:
            said.append(f"Good practice advises {plain(limit, 1)} psi at most; the book names no such limit.")
        else:
            said.append(
                f"The adopted limit is {plain(limit, 1)} psi" + (f" ({section})." if section else ".")
            )
    return said
