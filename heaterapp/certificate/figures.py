"""Figures of a report as they stand on paper: number, unit, formula and working."""

from __future__ import annotations

from collections.abc import Mapping
from typing import Any

from heaterapp.sheet.bounds import measure
from heaterapp.sheet.draw.given import figures_taped
from heaterapp.sheet.findings import NOT_YET, is_known, shown_once
from heaterapp.sheet.words import FIGURES, figure_words, unit_shown
from heaterapp.sheet.workings import formula_words, tape_words, working_words

from .lettering import kept_whole
from .paper import Working
from .saying import built, foreign, joined, like, own


def shown(value: Any, unit: str, taped: str = "") -> str:
    """A figure's value for reading: each of several by itself, the unit once behind.

    taped  a band of heights as a tape shows it

    >>> shown(["18.00", "36.00"], "in", "18 to 36"), shown("60.0", "psi"), shown("29.5", "deg")
    ('18 to 36 in', '60 psi', '29.5°')
    """
    return "".join(parted(value, unit, taped))


def parted(value: Any, unit: str, taped: str = "") -> tuple[str, str]:
    """The same as its number, and its unit with the space before it.

    >>> parted("60.0", "psi"), parted("29.5", "deg"), parted(None, "in")
    (('60', ' psi'), ('29.5', '°'), ('', ''))
    """
    if value is None:
        return "", ""
    several = value if isinstance(value, list) else [value]
    told = taped or ", ".join(bare(one, unit) for one in several)
    said = built("figures", told)
    end = unit_shown(unit)
    return said, end if end == "°" or not end else f" {end}"


def bare(value: str, unit: str) -> str:
    """A number without its unit, needless zeros and all."""
    text = value.rstrip("0").rstrip(".") if "." in value else value
    end = unit_shown(unit)
    return measure(text, unit).removesuffix(end).strip() if end else measure(text, unit)


def with_unit(said: str) -> str:
    """A sentence in which no line ends between a number and its unit.

    >>> with_unit("14 in x 2 = 28 in, as 1 in 12")
    '14\\xa0in x 2 = 28\\xa0in, as 1\\xa0in 12'
    """
    return like(said, kept_whole(said))


def figures_of(report: Mapping[str, Any]) -> tuple[Working, ...]:
    """Every figure with its formula and working, each once."""
    order = {name: index for index, name in enumerate(FIGURES)}
    figures = shown_once(figures_taped(report))
    named = sorted(figures.items(), key=lambda item: (order.get(item[0], len(order)), item[0]))
    return tuple(
        Working(
            figure_words(name).here if name in FIGURES else foreign(figure_words(name).en),
            *_told(one),
            with_unit(formula_words(name, one["formula"], own, built)) if one["worked"] else "",
            with_unit(_worked(one)),
            with_unit(built("figures", one.get("says", ""))),
            built("figures", one["source"]),
        )
        for name, one in named
    )


def _worked(one: Mapping[str, Any]) -> str:
    said, taped = working_words(one["worked"], built), tape_words(one, own, built)
    return joined("; ", (said, taped)) if taped else said


def _told(one: Mapping[str, Any]) -> tuple[str, str]:
    if not is_known(one):
        return own(NOT_YET), ""
    return parted(one.get("held_at") or one["value"], one["unit"], one.get("taped", ""))
