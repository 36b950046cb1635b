"""The tank on its stand, to scale: where straps may go, where they are, how high from the floor."""

from __future__ import annotations

from collections.abc import Callable, Mapping, Sequence
from dataclasses import dataclass
from decimal import Decimal
from typing import Any

from heaterapp.rules.calc.strapping import Band, lower_third, upper_third
from heaterapp.rules.units import plain, tape_range, tape_shown

from ..brief import as_read
from .given import STRAP_BANDS, answer, band_taped, figure, figure_pair, finding, is_known, limit_of
from .shapes import Label, box, cited, drawing, hatch, kept, labels, line, taped, upright_dimension, words

TALLEST = Decimal(248)
WIDEST = Decimal(92)
TOP = Decimal(14)
LEFT = Decimal(74)
LABELS = Decimal(196)
APART = Decimal(17)
USUAL_DIAMETER_IN = Decimal(20)
DIMENSION, FIGURE = Decimal(62), Decimal(56)
SAME_PLACE = Decimal("0.05")
"""A figure is rounded for print: an edge this near the tank's end, in inches, is that end."""
CLEAR = "seismic.lower_strap_clear_of_controls"
BANDS = tuple(STRAP_BANDS)
UPPER, LOWER = STRAP_BANDS.values()


@dataclass(frozen=True, slots=True)
class _Tank:
    """What was measured, in inches from the floor."""

    base: Decimal
    height: Decimal
    diameter: Decimal | None
    straps: tuple[Decimal, ...]
    marks: tuple[str, ...]
    found: str
    strap_width: Decimal
    controls: tuple[Decimal, Decimal] | None
    upper: Band | None
    lower: Band | None
    taped: tuple[str, str]
    keep_clear: tuple[Decimal, str] | None
    tallest: Decimal
    waits: bool

    @property
    def top(self) -> Decimal:
        return self.base + self.height

    @property
    def scale(self) -> Decimal:
        return min(self.tallest / self.top, WIDEST / (self.diameter or USUAL_DIAMETER_IN))


def _band(report: Mapping[str, Any], name: str, third: Band) -> Band | None:
    if not figure(report, name) or not is_known(figure(report, name)):
        # of a strap of unknown width the third is drawn, and what stays clear of the controls by itself
        return third
    pair = figure_pair(report, name)
    return Band(*pair) if pair else None


def _tank(
    answers: Mapping[str, Any], report: Mapping[str, Any], tallest: Decimal = TALLEST
) -> _Tank | None:
    base, height = answer(answers, "tank_base_in"), answer(answers, "tank_height_in")
    if not isinstance(height, Decimal) or not isinstance(base, Decimal):
        return None
    top, bottom = answer(answers, "controls_top_in"), answer(answers, "controls_bottom_in")
    controls = None
    if isinstance(top, Decimal) and top >= base:
        controls = (bottom if isinstance(bottom, Decimal) and base <= bottom <= top else top, top)
    straps = tuple(y for y in answer(answers, "strap_heights_in") or () if base <= y <= base + height)
    edges = (*upper_third(base, height), *lower_third(base, height))
    marks = tuple(_mark(y, edges) for y in straps)
    return _Tank(
        base,
        height,
        answer(answers, "tank_diameter_in"),
        straps,
        marks,
        f"Straps found at {', '.join(marks)} in." if marks else _why_none_is_drawn(answers),
        answer(answers, "strap_width_in") or Decimal(1),
        controls,
        _band(report, "upper_strap_band_in", upper_third(base, height)),
        _band(report, "lower_strap_band_in", lower_third(base, height)),
        (
            band_taped(report, "upper_strap_band_in") or tape_range(*upper_third(base, height)),
            band_taped(report, "lower_strap_band_in") or tape_range(*lower_third(base, height)),
        ),
        limit_of(report, CLEAR, "in"),
        tallest,
        not is_known(figure(report, "lower_strap_band_in")),
    )


def _why_none_is_drawn(answers: Mapping[str, Any]) -> str:
    """Return what is said where no strap has a height on the tank: that there is none only where none is."""
    kind = answers.get("strap_kind")
    none_found = answers.get("strap_heights_in") == []
    fitted = not none_found and isinstance(kind, str) and kind not in ("", "none", "not_here")
    if kind != "none" and isinstance(answers.get("strap_heights_in"), dict):
        return (
            "Strapped; how high the straps are could not be measured."
            if fitted
            else "How high the straps are could not be measured."
        )
    if answer(answers, "strap_heights_in"):
        return "The straps recorded are higher or lower than the tank; none is drawn."
    return "Strapped; how high the straps are is not recorded." if fitted else "No straps recorded."


def _judged(report: Mapping[str, Any], tank: _Tank, index: int) -> str:
    """`fails` for the strap that a failed finding is about, else nothing."""
    height = tank.straps[index]
    about = ((UPPER, len(tank.straps) - 1, tank.lower), (LOWER, 0, tank.upper), (CLEAR, 0, tank.upper))
    failed = (
        strap == index
        and not (other and other.holds(height))
        and finding(report, check).get("verdict") == "fails"
        for check, strap, other in about
    )
    return "fails" if any(failed) else ""


def straps_svg(
    answers: Mapping[str, Any], report: Mapping[str, Any], tallest: Decimal = TALLEST
) -> str | None:
    """Draw the tank, the heights allowed for straps, and the straps; None without a tank height.

    tallest  the height of tank and stand, in the drawing's units: less where three drawings share a sheet
    """
    tank = _tank(answers, report, tallest)
    if tank is None:
        return None
    found = ((check, finding(report, check)) for check in (UPPER, LOWER, CLEAR))
    judged = tuple(
        (check, str(one.get("verdict", "")), str(one.get("section", ""))) for check, one in found if one
    )
    return _drawn(tank, judged, tuple((name, str(figure(report, name).get("says") or "")) for name in BANDS))


def straps_scale(answers: Mapping[str, Any], report: Mapping[str, Any]) -> dict[str, str]:
    """What turns a place on the drawing into a height: empty where nothing is drawn.

    returns  floor and scale (the drawing's units, and units an inch); base and top of the tank (in);
             left and right of a strap
    """
    tank = _tank(answers, report)
    if tank is None:
        return {}
    half = (tank.diameter or USUAL_DIAMETER_IN) * tank.scale / 2 + 6
    middle = LEFT + WIDEST / 2 + 4
    told = {
        "floor": TOP + tank.top * tank.scale, "scale": tank.scale, "base": tank.base, "top": tank.top,
        "left": middle - half, "right": middle + half,
    }  # fmt: skip
    return {name: plain(value, 4).replace(",", "") for name, value in told.items()}


def _mark(height: Decimal, edges: Sequence[Decimal]) -> str:
    """A strap's height as it is read elsewhere, where that is on the same side of every edge."""
    brief = as_read(height, "in")
    beside = all((brief > edge) - (brief < edge) == (height > edge) - (height < edge) for edge in edges)
    return taped(height) if beside else tape_shown(height, *edges)


@kept
def _drawn(tank: _Tank, judged: tuple[tuple[str, str, str], ...], says: tuple[tuple[str, str], ...]) -> str:
    # While everything else of a section is typed its tank stays the same.
    report = {
        "findings": [
            {"check": check, "kind": "rule", "verdict": verdict, "section": section}
            for check, verdict, section in judged
        ],
        "figures": {name: {"says": text} for name, text in says},
    }
    scale = tank.scale
    floor = TOP + tank.top * scale
    width = (tank.diameter or USUAL_DIAMETER_IN) * scale
    middle = LEFT + WIDEST / 2 + 4
    left, right = middle - width / 2, middle + width / 2

    def y(height_in: Decimal) -> Decimal:
        return floor - height_in * scale

    parts = [line("floor", Decimal(0), floor, LABELS - 16, floor)]
    parts.append(hatch("ground", Decimal(0), floor, LABELS - 16, Decimal(6), 8))
    if tank.base > 0:
        parts.append(box("stand", left + width / 8, y(tank.base), width * 3 / 4, tank.base * scale))
    parts.append(box("tank", left, y(tank.top), width, tank.height * scale, 5))
    beside: list[Label] = []
    for band, check, between in zip((tank.upper, tank.lower), (UPPER, LOWER), tank.taped, strict=True):
        if band is None:
            continue
        section = str(finding(report, check).get("section", ""))
        parts.append(hatch("allowed", left, y(band.high_in), width, (band.high_in - band.low_in) * scale))
        for edge, shown in zip(band, between.split(" to "), strict=True):
            parts.append(line("limit", left - 8, y(edge), right + 10, y(edge)))
            if min(abs(edge - tank.base), abs(edge - tank.top)) > SAME_PLACE:
                beside.append(Label(y(edge), cited(shown, section), "label quiet"))
    if tank.controls:
        parts += _controls(tank.controls, tank.keep_clear, y, middle, width)
        beside.append(Label(y(tank.controls[1]), f"{taped(tank.controls[1])} in controls", "label quiet"))
        if tank.keep_clear:
            over = tank.controls[1] + tank.keep_clear[0]
            beside.append(Label(y(over), f"{taped(over)} in clear", "label quiet"))
    thick = max(tank.strap_width * scale, Decimal(4))
    for index, height in enumerate(tank.straps):
        judged = _judged(report, tank, index)
        parts.append(box(f"strap {judged}".rstrip(), left - 6, y(height) - thick / 2, width + 12, thick))
        text = f"{tank.marks[index]} in strap"
        beside.append(Label(y(height), text, f"label strong {judged}".rstrip()))
    parts += upright_dimension(DIMENSION, y(tank.top), y(tank.base), left - 2)
    parts.append(words("label end", FIGURE, (y(tank.top) + y(tank.base)) / 2 + 4, taped(tank.height)))
    if tank.base > 0:
        parts += upright_dimension(DIMENSION, y(tank.base), floor, left - 2)
        parts.append(words("label end", FIGURE, (y(tank.base) + floor) / 2 + 4, taped(tank.base)))
    bottom = max(floor, TOP + APART * len(beside)) + 4
    parts += labels(beside, right + 8, LABELS, APART, TOP, bottom)
    said = _said(tank, report)
    return drawing(
        "straps",
        max(floor + 8, bottom + 10),
        "Straps on the tank, heights from the floor",
        said,
        parts,
    )


def _controls(
    controls: tuple[Decimal, Decimal],
    keep_clear: tuple[Decimal, str] | None,
    y: Callable[[Decimal], Decimal],
    middle: Decimal,
    width: Decimal,
) -> list[str]:
    low, high = controls
    wide = width / 3
    tall = max(y(low) - y(high), Decimal(5))
    parts = []
    if keep_clear:
        zone_top = y(high + keep_clear[0])
        parts.append(
            hatch("keep-clear", middle - width / 2, zone_top, width, y(high) - zone_top, 4, falling=True)
        )
        parts.append(line("clear-edge", middle - width / 2, zone_top, middle + width / 2, zone_top))
    parts.append(box("controls", middle - wide / 2, y(high), wide, tall))
    return parts


def straps_words(answers: Mapping[str, Any], report: Mapping[str, Any]) -> list[str]:
    """The drawing's numbers as sentences; none without a tank height."""
    tank = _tank(answers, report)
    return _said(tank, report) if tank else []


def _said(tank: _Tank, report: Mapping[str, Any]) -> list[str]:
    said = [
        f"Tank {taped(tank.height)} in tall"
        + (f" on a stand of {taped(tank.base)} in." if tank.base > 0 else ", standing on the floor.")
    ]
    for band, word, at in (
        (tank.upper, "Upper", 0),
        (tank.lower, "Lower", 1),
    ):
        if band and not (tank.waits and word == "Lower"):
            between = tank.taped[at].replace(" to ", " and ")
            said.append(f"{word} strap between {between} in from the floor, to its center.")
        else:
            why = str(figure(report, BANDS[at]).get("says") or "no height satisfies the text").rstrip(".")
            named = why.startswith(f"The {word.lower()} strap's")
            said.append(f"{why}." if named else f"{word} strap: {why}.")
    if tank.controls and tank.keep_clear:
        inches, section = tank.keep_clear
        where = f" ({section})" if section else ""
        said.append(
            f"Controls end at {taped(tank.controls[1])} in; {taped(inches)} in over them stay clear{where}."
        )
    said.append(tank.found)
    if tank.diameter is None:
        said.append("The diameter was not given: the width is drawn as a usual one.")
    return said
