"""Figures of the bracing: weight, force, bands, and what each strap and lag carries."""

from __future__ import annotations

from decimal import Decimal

from ..book import Table
from ..calc import strap_forces, strapping, water
from ..figure import figure
from ..questions.plate import STORAGE
from ..questions.straps import STRAPS
from ..report import Worked
from ..units import (
    Count,
    Gallon,
    Inch,
    Inches,
    Pound,
    Ratio,
    eighths,
    plain,
    tape_range,
)

_STATICS = "statics of a sling with two legs, tank full, its mass at mid-height"
_FORCE = ("seismic.force", "seismic.weights")


@figure(
    "",
    "1",
    "by the place's text: always, or by seismic design category and building",
    "seismic clauses of the adopted books",
    when=STORAGE,
    clauses=("seismic.required",),
)
def bracing_required(
    seismic_design_category: str | None = None, building_kind: str | None = None,
    *, always: bool, categories: tuple[str, ...] | None = None, townhouse_categories: tuple[str, ...] | None = None,
) -> Worked:  # fmt: skip
    if always:
        return Worked("yes", says="Required for every storage heater.")
    category = seismic_design_category
    if category is None:
        return Worked(None, says="the seismic design category is needed")
    if category in (categories or ()):
        return Worked("yes", says=f"Required in category {category}.")
    if category in (townhouse_categories or ()):
        if building_kind is None:
            return Worked(None, says="the kind of building is needed")
        if building_kind == "townhouse":
            return Worked("yes", says=f"Required for townhouses in category {category}.")
    return Worked("no", says=f"Not required in category {category} for this building.")


@figure(
    "lb",
    "0.1",
    "W = empty weight + 8.33 x gallons",
    "cold water at 8.33 lb a gallon",
    when=STORAGE,
    clauses=("seismic.weights",),
)
def operating_weight_lb(
    heater_kind: str,
    storage_gal: Gallon,
    dry_weight_lb: Pound | None = None,
    *,
    water_lb_per_gal: Ratio,
    dry: Table,
) -> Worked:
    empty, said = dry_weight_lb, ""
    if empty is None:
        empty = strapping.usual_dry_weight(dry.rows, heater_kind, storage_gal)
        if empty is None:
            return Worked(
                None, says="the weight on the plate is needed; no usual weight is held for this size"
            )
        said = f"Empty weight not given: {plain(empty)} lb taken as usual for this size."
    value = water.operating_weight(empty, storage_gal, water_lb_per_gal)
    return Worked(
        value, f"{plain(empty)} + {plain(water_lb_per_gal)} x {plain(storage_gal)} = {plain(value)} lb", said
    )


@figure(
    "lb", "0.1", "F = W / 3", "a third of the operating weight in any direction", when=STORAGE, clauses=_FORCE
)
def strap_force_lb(operating_weight_lb: Pound, *, parts: Count, of_parts: Count) -> Worked:
    value = strap_forces.strap_force(operating_weight_lb, parts, of_parts)
    return Worked(
        value, f"{plain(operating_weight_lb)} x {plain(parts)} / {plain(of_parts)} = {plain(value)} lb"
    )


@figure(
    "in",
    "0.01",
    "B to B + H/3, and clear of the controls by the text's distance plus half the strap",
    "thirds of the tank's own height on its stand",
    when=STORAGE,
    clauses=("seismic.controls", "seismic.placement"),
)
def lower_strap_band_in(
    tank_base_in: Inch, tank_height_in: Inch, strap_width_in: Inch | None = None, controls_top_in: Inch | None = None, controls_bottom_in: Inch | None = None,
    *, clearance: Inch | None = None, above_only: bool | None = None,
) -> Worked:  # fmt: skip
    width = strap_width_in or Decimal(0)
    third = strapping.lower_third(tank_base_in, tank_height_in)
    if controls_top_in is None or clearance is None:
        said = "" if clearance is None else "The controls were not measured: the third alone."
        return Worked((third.low_in, third.high_in), _thirds(tank_base_in, tank_height_in, "lower"), said)
    windows = strapping.lower_strap_windows(
        tank_base_in,
        tank_height_in,
        width,
        controls_top_in,
        controls_bottom_in,
        clearance_in=clearance,
        above_only=bool(above_only),
    )
    if not windows:
        least = controls_top_in + clearance + width / 2
        return Worked(
            None,
            says=f"no height satisfies both: the lower third ends at {eighths(third.high_in)} in, above the controls begins at {eighths(least)} in",
        )
    other = f" Or {tape_range(windows[1].low_in, windows[1].high_in)} in." if len(windows) > 1 else ""
    worked = f"{_thirds(tank_base_in, tank_height_in, 'lower')}; controls {eighths(controls_top_in)} + {eighths(clearance)} + {eighths(width)} / 2"
    return Worked((windows[0].low_in, windows[0].high_in), worked, other.strip())


@figure(
    "in",
    "0.01",
    "B + 2H/3 to B + H",
    "thirds of the tank's own height on its stand",
    when=STORAGE,
    clauses=("seismic.placement",),
)
def upper_strap_band_in(tank_base_in: Inch, tank_height_in: Inch) -> Worked:
    band = strapping.upper_third(tank_base_in, tank_height_in)
    return Worked((band.low_in, band.high_in), _thirds(tank_base_in, tank_height_in, "upper"))


def _thirds(base: Decimal, height: Decimal, which: str) -> str:
    b, h = plain(base), plain(height)
    return f"{b} to {b} + {h} / 3" if which == "lower" else f"{b} + 2 x {h} / 3 to {b} + {h}"


@figure(
    "in",
    "0.01",
    "above: (y - w/2) - top; below: bottom - (y + w/2)",
    "edge to edge, the lowest strap",
    when=STRAPS,
    clauses=("seismic.controls",),
)
def strap_controls_clearance_in(
    strap_heights_in: Inches,
    strap_width_in: Inch,
    controls_top_in: Inch,
    controls_bottom_in: Inch | None = None,
    *,
    above_only: bool,
) -> Worked:
    if not strap_heights_in:
        return Worked(None, says="no strap height was given")
    found = strapping.controls_clearance(
        strap_heights_in[0], strap_width_in, controls_top_in, controls_bottom_in, above_only=above_only
    )
    y, w = plain(strap_heights_in[0]), plain(strap_width_in)
    worked = (
        f"({y} - {w} / 2) - {plain(controls_top_in)}"
        if found.side == "above"
        else f"{plain(controls_bottom_in or Decimal(0))} - ({y} + {w} / 2)"
    )
    return Worked(
        found.inches, f"{worked} = {plain(found.inches)} in", f"Measured {found.side} the controls."
    )


@figure(
    "ratio",
    "0.01",
    "(hc - B) / R; tips above 3 at a third of the weight",
    "moments about the edge of the base",
    when=STORAGE,
)
def tipping_ratio(tank_base_in: Inch, tank_height_in: Inch, tank_diameter_in: Inch) -> Worked:
    middle = strap_forces.mass_height(tank_base_in, tank_height_in)
    value = strap_forces.tipping_ratio(middle, tank_base_in, tank_diameter_in / 2)
    return Worked(
        value,
        f"{plain(middle - tank_base_in)} / {plain(tank_diameter_in / 2)} = {plain(value)}",
        "Unstrapped it would tip." if value > 3 else "Unstrapped it would slide before it tips.",
    )
