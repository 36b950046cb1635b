"""Figures of a report as they stand on paper: number, unit, formula and working."""

from __future__ import annotations

from collections.abc import Mapping
from typing import Any

from heaterapp.sheet.bounds import measure
from heaterapp.sheet.draw.given import band_taped
from heaterapp.sheet.findings import NOT_YET, is_known, shown_once
from heaterapp.sheet.words import FIGURES, figure_words, unit_shown

from .paper import Working
from .saying import built, foreign, own


def shown(value: Any, unit: str) -> str:
    """A figure's value for reading: each of several by itself, the unit once behind.

    >>> shown(["18.00", "36.00"], "in"), shown("60.0", "psi"), shown("0.564", "gal"), shown("29.5", "deg")
    ('18 to 36 in', '60 psi', '0.564 gal', '29.5°')
    """
    return "".join(parted(value, unit))


def parted(value: Any, unit: str) -> tuple[str, str]:
    """The same as its number, and its unit with the space before it.

    >>> parted("60.0", "psi"), parted("29.5", "deg"), parted(None, "in")
    (('60', ' psi'), ('29.5', '°'), ('', ''))
    """
    if value is None:
        return "", ""
    several = value if isinstance(value, list) else [value]
    is_band = len(several) == 2 and unit == "in"
    told = band_taped(*several) if is_band else ", ".join(bare(one, unit) for one in several)
    said = built("figures", told)
    end = unit_shown(unit)
    return said, end if end.startswith("°") or not end else f" {end}"


def bare(value: str, unit: str) -> str:
    """A number without its unit, needless zeros and all."""
    text = value.rstrip("0").rstrip(".") if "." in value else value
    end = unit_shown(unit)
    return measure(text, unit).removesuffix(end).strip() if end else measure(text, unit)


def figures_of(report: Mapping[str, Any]) -> tuple[Working, ...]:
    """Every figure with its formula and working, each once."""
    order = {name: index for index, name in enumerate(FIGURES)}
    figures = shown_once(report["figures"])
    named = sorted(figures.items(), key=lambda item: (order.get(item[0], len(order)), item[0]))
    return tuple(
        Working(
            figure_words(name).here if name in FIGURES else foreign(figure_words(name).en),
            *(parted(one["value"], one["unit"]) if is_known(one) else (own(NOT_YET), "")),
            built("figures", one["formula"]) if one["worked"] else "",
            built("figures", one["worked"]),
            built("figures", one.get("says", "")),
            built("figures", one["source"]),
        )
        for name, one in named
    )
