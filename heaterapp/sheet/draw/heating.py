"""What the drawing of pressure is made from: the lines of one job, reckoned from its unrounded numbers."""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass
from decimal import Decimal
from functools import lru_cache
from typing import Any, NamedTuple

from heaterapp.rules.calc.altitude import atmosphere
from heaterapp.rules.calc.expansion import LARGEST_GAL, precharge_at_air
from heaterapp.rules.calc.pressure_curve import CurvePoint, pressure_curve
from heaterapp.rules.units import plain, rounded_up

from ..brief import as_read
from .given import answer, figure, figure_number, is_known, number

STEPS = 12
LIMITS = ("expansion.tank_large_enough", "expansion.peak_as_set")
TOO_SMALL_A_RISE_F = 5
A_TENTH = Decimal("0.1")
HALF_A_TENTH, HALF_A_THOUSANDTH = Decimal("0.05"), Decimal("0.0005")
"""Within what of its printed figure an unrounded pressure and the air's pressure are the same."""

Curve = tuple[CurvePoint, ...]
# The drawing and its sentences need the same lines, and most keystrokes change none of them.
_curve = lru_cache(maxsize=500)(pressure_curve)
_atmosphere = lru_cache(maxsize=50)(atmosphere)


class Bound(NamedTuple):
    """A pressure not to go above: what an adopted book names, or else what good practice advises."""

    psi: Decimal
    section: str
    advised: bool


@dataclass(frozen=True, slots=True)
class Heating:
    """One job's lines: pressure in psi over water temperature in degF."""

    cold_f: Decimal
    hot_f: Decimal
    supply_psi: Decimal
    cold_psi: str
    charged_psi: str
    relief_psi: Decimal
    no_tank: Curve
    as_set: Curve | None
    recommended: Curve | None
    recommended_gal: Decimal | None
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


def heating_of(answers: Mapping[str, Any], report: Mapping[str, Any]) -> Heating | None:
    """Return the lines of a job; None where they cannot be reckoned, or where its answers cannot all be true.

    answers  the stored answers
    report   `Report.as_json()` for them
    """
    volume, hot, relief = (answer(answers, n) for n in ("storage_gal", "thermostat_f", "relief_pressure_psi"))
    cold, more = answer(answers, "cold_inlet_f"), answer(answers, "extra_hot_volume_gal")
    target = figure_number(report, "precharge_target_psi")
    air = _air(answers, report)
    measured = (volume, hot, relief, cold, more)
    if target is None or air is None or not all(isinstance(one, Decimal) for one in measured):
        return None
    # Without this figure the answers cannot all be true, and nobody judges by them.
    if figure_number(report, "thermal_expansion_gal") is None:
        return None
    supply = _supply(answers, target)
    if hot - cold < TOO_SMALL_A_RISE_F or supply >= relief:
        return None
    device = answer(answers, "expansion_device")
    if figure(report, "closed_system").get("value") != "yes" or device == "other_listed":
        # What another listed device lets the pressure do is its maker's to say.
        return None
    tank = answer(answers, "expansion_tank_gal") if device == "tank" else None
    charge = _charge(answers, report, air)
    common = (volume + more, cold, hot, supply, relief, air)
    label = answer(answers, "expansion_acceptance_gal")
    as_set = None
    if tank and charge is not None and figure(report, "peak_pressure_psi"):
        as_set = _curve(*common, tank, charge, label, STEPS)
        as_set = _to_figure(as_set, figure_number(report, "peak_pressure_psi"), relief)
    size = _size_of(report, tank)
    recommended = None
    if size is not None and supply > 0 and is_known(figure(report, "precharge_target_psi")):
        recommended = _curve(*common, size, supply, label if size == tank else None, STEPS)
        if size == tank:
            printed = figure_number(report, "peak_pressure_as_recommended_psi")
            recommended = _to_figure(recommended, printed, relief)
        if end_of(recommended) >= relief:
            recommended = None
    return Heating(
        cold, hot, supply, plain(as_read(supply, "psi"), 28), plain(target, 28), relief,
        _curve(*common, steps=STEPS), as_set, recommended, size, charge, size is not None and size == tank,
        _bound(report, relief),
    )  # fmt: skip


def end_of(curve: Curve) -> Decimal:
    """The pressure at which a line ends, in psi."""
    return curve[-1].pressure_psig


def _to_figure(curve: Curve, printed: Decimal | None, relief: Decimal) -> Curve:
    """A line that ends as its figure prints it: the figure is worked from printed numbers, a hair apart."""
    end = curve[-1]
    if printed is None or rounded_up(end.pressure_psig) == printed:
        return curve
    return (*curve[:-1], end._replace(pressure_psig=min(printed, relief)))


def _supply(answers: Mapping[str, Any], printed: Decimal) -> Decimal:
    """The pressure that the figure prints, unrounded: a size within a hair of the limit turns on it."""
    fitted = answer(answers, "prv_fitted")
    else_set = {"yes": "prv_setting_psi", "no": "street_pressure_psi"}.get(str(fitted))
    measured = answer(answers, "house_pressure_psi")
    exact = answer(answers, else_set) if measured is None and else_set else measured
    near = isinstance(exact, Decimal) and abs(exact - printed) <= HALF_A_TENTH
    return exact if near else printed


def _air(answers: Mapping[str, Any], report: Mapping[str, Any]) -> Decimal | None:
    """The air's pressure at the site, unrounded where the elevation is what the figure was worked from."""
    printed, elevation = figure_number(report, "local_atmosphere_psia"), answer(answers, "elevation_ft")
    if printed is None or not isinstance(elevation, Decimal):
        return printed
    exact = _atmosphere(elevation)
    return exact if abs(exact - printed) <= HALF_A_THOUSANDTH else printed


def _size_of(report: Mapping[str, Any], tank: Any) -> Decimal | None:
    """The size to recommend: the one to buy, or the tank that is there and as large; None where none does."""
    needed = figure_number(report, "expansion_tank_needed_gal")
    if needed is None:
        return None
    # drawn for the size that is named beside it, which is the size to buy
    size = max(rounded_up(needed), tank) if isinstance(tank, Decimal) else rounded_up(needed)
    return size if size <= LARGEST_GAL else None


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
