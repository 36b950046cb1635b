"""What a drawing is told: single answers, figures and findings, each None when it is not there."""

from __future__ import annotations

from collections.abc import Mapping
from decimal import Decimal, InvalidOperation
from functools import lru_cache
from typing import Any, NamedTuple

from heaterapp.rules import CATALOGUE, BadAnswer
from heaterapp.rules.job import DEFAULTS
from heaterapp.rules.reading import read_answer
from heaterapp.rules.units import tape_range

HALF_HUNDREDTH = Decimal("0.005")
WHERE_IT_HANGS = "At the air temperature where the tank hangs."
STRAP_BANDS = {
    "upper_strap_band_in": "seismic.upper_strap_in_upper_third",
    "lower_strap_band_in": "seismic.lower_strap_in_lower_third",
}
"""Each figure of heights, and the check that holds a strap to them."""


def answer(answers: Mapping[str, Any], name: str) -> Any:
    """One answer as its question reads it, else its default, else None."""
    value = answers.get(name)
    if value is None or value == "" or isinstance(value, dict) or value == "not_here":
        return DEFAULTS.get(name)
    if isinstance(value, list) and all(isinstance(one, str) for one in value):
        return _read_stored(name, tuple(value))
    return _read_stored(name, value) if isinstance(value, str) else _read(name, value)


def _read(name: str, value: Any) -> Any:
    try:
        return read_answer(CATALOGUE[name], value)
    except BadAnswer:
        return None


@lru_cache(maxsize=5000)
def _read_stored(name: str, value: str | tuple[str, ...]) -> Any:
    return _read(name, list(value) if isinstance(value, tuple) else value)


def number(text: Any) -> Decimal | None:
    """A printed number, or None when it is none."""
    return _number(text) if isinstance(text, str) else None


@lru_cache(maxsize=5000)
def _number(text: str) -> Decimal | None:
    try:
        value = Decimal(text)
    except InvalidOperation:
        return None
    return value if value.is_finite() else None


def figure(report: Mapping[str, Any], name: str) -> Mapping[str, Any]:
    """A figure of the report; empty when it was not computed."""
    found: Mapping[str, Any] = report.get("figures", {}).get(name) or {}
    return found


def is_known(figure: Mapping[str, Any]) -> bool:
    """Whether a figure's number is one to act on: an air charge over the limit is not."""
    return not figure.get("unsettled")


def figure_number(report: Mapping[str, Any], name: str) -> Decimal | None:
    """A figure's value as a number."""
    return number(figure(report, name).get("value"))


def figure_pair(report: Mapping[str, Any], name: str) -> tuple[Decimal, Decimal] | None:
    """A figure of two numbers, such as a band of heights."""
    value = figure(report, name).get("value")
    if not isinstance(value, list) or len(value) != 2:
        return None
    low, high = number(value[0]), number(value[1])
    return None if low is None or high is None else (_sixteenth(low), _sixteenth(high))


def band_taped(report: Mapping[str, Any], name: str) -> str:
    """A figure's band of heights as a tape shows it: inward, and as finely as its check's own verdict needs.

    name  lower_strap_band_in or upper_strap_band_in, which has a value

    >>> figures = {"lower_strap_band_in": {"value": ["34.75", "37.33"]}}
    >>> band_taped({"figures": figures}, "lower_strap_band_in")
    '34 3/4 to 37 1/4'
    """
    pair, judged = figure_pair(report, name), finding(report, STRAP_BANDS[name])
    if pair is None:
        return ""
    found = number(judged.get("found"))
    ends = tape_range(*pair, *(() if found is None else (found,))).split(" to ")
    # The figure has two places: where the check prints its own limit finer, that is the limit.
    for at, asked in enumerate(str(judged.get("limit") or "").split(" to ")[:2]):
        own, exact = number(ends[at]), number(asked)
        if own is None or exact is None or "." not in ends[at]:
            continue
        if abs(own - exact) <= 2 * HALF_HUNDREDTH:
            ends[at] = asked
    return " to ".join(ends)


def figures_taped(report: Mapping[str, Any]) -> dict[str, Any]:
    """The figures of a report, bands of heights with how a tape shows them beside (`taped`)."""
    figures = dict(report["figures"])
    target, read = (figures.get(name) or {} for name in ("precharge_target_psi", "precharge_at_air_f_psi"))
    if is_known(target) and read.get("value") not in (None, target.get("value")):
        # The same charge stands twice: which of the two a gauge shows is said beside both.
        said = f"{target.get('says') or ''} {WHERE_IT_HANGS}".strip()
        figures["precharge_target_psi"] = {**target, "says": said}
    for name in STRAP_BANDS.keys() & figures.keys():
        figures[name] = {**figures[name], "taped": band_taped(report, name)}
    return figures


def _sixteenth(value: Decimal) -> Decimal:
    """The sixteenth that was rounded to this hundredth, else the value."""
    near = (value * 16).to_integral_value() / 16
    return near if abs(near - value) <= HALF_HUNDREDTH else value


def finding(report: Mapping[str, Any], check: str) -> Mapping[str, Any]:
    """A check's rule finding; empty when there is none."""
    for one in report.get("findings", ()):
        if one["check"] == check and one["kind"] == "rule":
            found: Mapping[str, Any] = one
            return found
    return {}


def limit_of(report: Mapping[str, Any], check: str, unit: str) -> tuple[Decimal, str] | None:
    """The limit a check compared with, and its section, where it is a number in `unit`."""
    found = finding(report, check)
    limit = number(found.get("limit"))
    if limit is None or found.get("unit") != unit:
        return None
    return limit, str(found.get("section", ""))


class Against(NamedTuple):
    """What a check found and compared with, as numbers in one unit, and where the limit stands."""

    found: Decimal | None = None
    limit: Decimal | None = None
    section: str = ""
    fails: bool = False


def against(report: Mapping[str, Any], check: str, unit: str) -> Against:
    """A check's two numbers; empty where it compared none in `unit`."""
    found = finding(report, check)
    if found.get("unit") != unit:
        return Against()
    limit = number(found.get("limit"))
    section = str(found.get("section", "")) if limit is not None else ""
    return Against(number(found.get("found")), limit, section, found.get("verdict") == "fails")
