"""The tank's air: what a gauge reads at the temperature when set, and what that is where the tank hangs."""

from __future__ import annotations

from collections.abc import Mapping
from decimal import Decimal
from typing import Any, NamedTuple

from ..rules.units import plain
from .brief import as_read
from .draw.given import answer, figure, figure_number, is_known


class Reading(NamedTuple):
    """One charge at two temperatures, as numbers to read: psi and degrees F."""

    gauge: str
    set_at: str
    there: str
    hangs_at: str


def to_set(answers: Mapping[str, Any], report: Mapping[str, Any]) -> Reading | None:
    """What to set; None where the temperatures are alike or not told, or the house pressure is too high."""
    if not is_known(figure(report, "precharge_target_psi")):
        return None
    return _reading(
        answers,
        figure_number(report, "precharge_at_air_f_psi"),
        figure_number(report, "precharge_target_psi"),
    )


def as_set(answers: Mapping[str, Any], report: Mapping[str, Any]) -> Reading | None:
    """What was set; None where the temperatures are alike or not told."""
    return _reading(
        answers, answer(answers, "precharge_psi"), figure_number(report, "precharge_installed_psi")
    )


def _reading(answers: Mapping[str, Any], gauge: Any, there: Decimal | None) -> Reading | None:
    set_at, hangs_at = (answer(answers, one) for one in ("precharge_air_f", "installed_air_f"))
    if there is None or not all(isinstance(one, Decimal) for one in (gauge, set_at, hangs_at)):
        return None
    if set_at == hangs_at:
        return None
    told = ((gauge, "psi"), (set_at, "degF"), (there, "psi"), (hangs_at, "degF"))
    return Reading(*(plain(as_read(value, unit), 28) for value, unit in told))
