"""What of an expansion tank stands large: what it has to accept, and where the relief valve opens."""

from __future__ import annotations

from collections.abc import Mapping
from decimal import Decimal
from typing import Any

from ..rules.units import plain
from .brief import as_read
from .draw.given import answer, figure, figure_number

Answers = Mapping[str, Any]
Report = Mapping[str, Any]


def is_open_system(report: Report) -> bool:
    """Whether nothing closes the system: what expands goes back to the street and lifts no pressure."""
    return figure(report, "closed_system").get("value") == "no"


def accepted_at_least(answers: Answers, report: Report) -> str:
    """The gallons that a tank of the size that does must accept, where its label says fewer; else empty."""
    expands = figure_number(report, "thermal_expansion_gal")
    needed = figure_number(report, "expansion_tank_needed_gal")
    label, size = (answer(answers, name) for name in ("expansion_acceptance_gal", "expansion_tank_gal"))
    told = (expands, needed, label, size)
    if answer(answers, "expansion_device") != "tank" or not all(isinstance(one, Decimal) for one in told):
        return ""
    return plain(expands, 28) if label < expands and size >= needed else ""


def relief_opens_at(answers: Answers, report: Report) -> str:
    """The relief valve's setting in psi, where the tank as set lets it open; else empty."""
    reached, relief = figure(report, "peak_pressure_psi"), answer(answers, "relief_pressure_psi")
    if not reached or is_open_system(report) or not isinstance(relief, Decimal):
        return ""
    peak = figure_number(report, "peak_pressure_psi")
    return plain(as_read(relief, "psi"), 28) if peak is None or peak >= relief else ""
