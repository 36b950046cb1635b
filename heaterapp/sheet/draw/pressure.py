"""Pressure while the water heats: the expansion tank as set, as recommended, and no tank at all."""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from dataclasses import dataclass
from decimal import Decimal
from functools import lru_cache
from itertools import pairwise
from typing import Any, NamedTuple

from heaterapp.rules.calc.expansion import LARGEST_GAL, precharge_at_air
from heaterapp.rules.calc.pressure_curve import CurvePoint, pressure_curve
from heaterapp.rules.units import plain, rounded_up

from .given import answer, figure, figure_number, is_known, number
from .house_pressure import house_svg, house_words
from .shapes import LETTER, Label, drawing, kept, labels, line, path, words

LEFT, RIGHT = Decimal(36), Decimal(208)
TOP, BOTTOM = Decimal(22), Decimal(156)
LABELS = Decimal(226)
APART = Decimal(17)
LETTERS = 14
BETWEEN = 12
FARTHEST = 6
STEPS = 12
LIMITS = ("expansion.tank_large_enough", "expansion.peak_as_set")
TOO_SMALL_A_RISE_F = 5
A_TENTH = Decimal("0.1")

Curve = tuple[CurvePoint, ...]
Line = list[tuple[Decimal, Decimal]]
# The drawing and its sentences need the same lines, and most keystrokes change none of them.
_curve = lru_cache(maxsize=500)(pressure_curve)


class Bound(NamedTuple):
    """A pressure not to go above: what an adopted book names, or else what good practice advises."""

    psi: Decimal
    section: str
    advised: bool


@dataclass(frozen=True, slots=True)
class _Heating:
    """One job's lines: pressure in psi over water temperature in degF."""

    cold_f: Decimal
    hot_f: Decimal
    supply_psi: Decimal
    relief_psi: Decimal
    no_tank: Curve
    as_set: Curve | None
    recommended: Curve | None
    recommended_gal: Decimal | None
    recommended_psi: Decimal | None
    charge_psi: Decimal | None
    same_tank: bool
    book: Bound | None

    @property
    def as_advised(self) -> bool:
        """Whether the tank is set as recommended, as near as a gauge is read: then one line tells both."""
        near = self.charge_psi is not None and abs(self.charge_psi - self.supply_psi) < A_TENTH
        return self.as_set is not None and self.recommended is not None and self.same_tank and near

    @property
    def recommended_name(self) -> str:
        """Short words for the recommended line: the same tank recharged, or a larger one."""
        return "advised" if self.same_tank else f"at {plain(self.recommended_gal or Decimal(0), 1)} gal"


def _heating(answers: Mapping[str, Any], report: Mapping[str, Any]) -> _Heating | None:
    volume, hot, relief = (answer(answers, n) for n in ("storage_gal", "thermostat_f", "relief_pressure_psi"))
    cold, more = answer(answers, "cold_inlet_f"), answer(answers, "extra_hot_volume_gal")
    supply = target = figure_number(report, "precharge_target_psi")
    air = figure_number(report, "local_atmosphere_psia")
    measured = (volume, hot, relief, cold, more)
    if supply is None or air is None or not all(isinstance(one, Decimal) for one in measured):
        return None
    if hot - cold < TOO_SMALL_A_RISE_F or supply >= relief:
        return None
    device = answer(answers, "expansion_device")
    if figure(report, "closed_system").get("value") != "yes" or device == "other_listed":
        # What another listed device lets the pressure do is its maker's to say.
        return None
    tank = answer(answers, "expansion_tank_gal") if device == "tank" else None
    charge = _charge(answers, report, air)
    needed = figure_number(report, "expansion_tank_needed_gal")
    # drawn for the size that is named beside it, which is the size to buy
    needed = None if needed is None else rounded_up(needed)
    sizes = [one for one in (tank, needed) if isinstance(one, Decimal)]
    common = (volume + more, cold, hot, supply, relief, air)
    label = answer(answers, "expansion_acceptance_gal")
    as_set = recommended = None
    # Without a figure for it these answers cannot all be true, and nobody judges by them.
    if tank and charge is not None and figure(report, "peak_pressure_psi"):
        as_set = _curve(*common, tank, charge, label, STEPS)
    known = is_known(figure(report, "precharge_target_psi"))
    if sizes and max(sizes) <= LARGEST_GAL and target is not None and target > 0 and known:
        recommended = _curve(*common, max(sizes), target, label if max(sizes) == tank else None, STEPS)
    return _Heating(
        cold, hot, supply, relief, _curve(*common, steps=STEPS), as_set, recommended,
        max(sizes) if sizes else None, target, charge, bool(sizes) and max(sizes) == tank,
        _bound(report, relief),
    )  # fmt: skip


def _charge(answers: Mapping[str, Any], report: Mapping[str, Any], air: Decimal) -> Decimal | None:
    """The air charge that the report reckons with: at the temperature where the tank hangs, once told."""
    charge: Decimal | None = answer(answers, "precharge_psi")
    set_at, hangs_at = (answer(answers, one) for one in ("precharge_air_f", "installed_air_f"))
    if charge is None or not figure(report, "precharge_installed_psi"):
        return charge
    return precharge_at_air(charge, set_at, hangs_at, air)


def _only_advised(finding: Mapping[str, Any]) -> bool:
    return finding["kind"] == "advice" or finding.get("confidence") == "practice"


def _bound(report: Mapping[str, Any], relief: Decimal) -> Bound | None:
    """The limit that an adopted book names below the relief setting, else the one that is advised."""
    found = [
        Bound(limit, str(one.get("section", "")), _only_advised(one))
        for check in LIMITS
        for one in report.get("findings", ())
        if one["check"] == check and one.get("unit") == "psi"
        if (limit := number(one.get("limit"))) is not None and limit < relief
    ]
    return min(found, key=lambda one: one.advised, default=None)


def _end(curve: Curve) -> Decimal:
    return curve[-1].pressure_psig


def _psi(job: _Heating, reached: Decimal) -> str:
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
    job = _heating(answers, report)
    house = None if job and (job.as_set or job.recommended) else house_svg(answers, report)
    return house or (_drawn(job) if job else None)


@kept
def _drawn(job: _Heating) -> str:
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
                    y(_end(curve)),
                    _psi(job, _end(curve)),
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


def _axes(job: _Heating, x: Any, y: Any, highest: Decimal) -> list[str]:
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
    job = _heating(answers, report)
    house = [] if job and (job.as_set or job.recommended) else house_words(answers, report)
    return house or (_said(job) if job else [])


def _said(job: _Heating) -> list[str]:
    cold, hot = plain(job.cold_f, 1), plain(job.hot_f, 1)
    said = [f"Closed system, whole tank heated from {cold} to {hot} F, every tap shut."]
    if job.as_set:
        end = _end(job.as_set)
        tail = ": the relief valve opens." if end >= job.relief_psi else "."
        name = "Tank as set, which is as recommended" if job.as_advised else "Tank as set"
        said.append(f"{name}: {plain(job.supply_psi, 1)} psi cold, {_psi(job, end)} psi hot{tail}")
    size, charge = job.recommended_gal, job.recommended_psi
    if job.recommended and size is not None and charge is not None and not job.as_advised:
        said.append(
            f"As recommended, {plain(size, 1)} gal charged to "
            f"{plain(charge, 1)} psi: {_psi(job, _end(job.recommended))} psi hot."
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
