"""Figures of the bracing: whether it is required, weight, force, and where the straps may sit."""

from __future__ import annotations

from decimal import Decimal

from ..book import Table
from ..calc import strap_forces, strapping, water
from ..figure import figure
from ..questions.plate import STORAGE
from ..questions.straps import STRAPS
from ..redone import Given, as_redone
from ..report import Worked
from ..units import (
    Count,
    Gallon,
    Inch,
    Inches,
    Pound,
    PoundPerGallon,
    eighths,
    inches_down,
    inches_up,
    plain,
    plain_up,
    tape_ends,
    tape_range,
)

TAPE = 4
"""To how many places a length in a working is read, finer where the result takes it: a sixteenth has four."""
_THIRDS = "thirds of the tank's own height on its stand"


@figure(
    "",
    "1",
    "by the place's text: always, or by seismic design category and building",
    "seismic clauses of the adopted books",
    clauses=("seismic.required",),
)
def bracing_required(
    heater_kind: str, seismic_design_category: str | None = None, building_kind: str | None = None,
    *, always: bool, categories: tuple[str, ...] | None = None, townhouse_categories: tuple[str, ...] | None = None,
    categories_in_doubt: tuple[str, ...] = (),
) -> Worked:  # fmt: skip
    if heater_kind.endswith("instantaneous"):
        return Worked("no", says="No tank to strap: fix the heater to the framing as its instructions say.")
    if always:
        return Worked("yes", says="Required for every tank, whatever the region.")
    category = seismic_design_category
    if category is None:
        return Worked(None, says="The seismic design category is needed.", needs=("seismic_design_category",))
    if category in (categories or ()):
        return Worked("yes", says=f"Required in seismic design category {category}.")
    if category in categories_in_doubt:
        return Worked("no", says=f"Not surely required in seismic design category {category}.")
    if category not in (townhouse_categories or ()):
        return Worked("no", says=f"Not required in seismic design category {category}.")
    if building_kind is None:
        return Worked(None, says="The kind of building is needed.", needs=("building_kind",))
    if building_kind == "townhouse":
        return Worked("yes", says=f"Required for townhouses in seismic design category {category}.")
    return Worked("no", says=f"In seismic design category {category} required for townhouses only.")


@figure(
    "lb",
    "0.01",
    "W = empty weight + w x gallons",
    "w, the weight of a gallon of cold water",
    when=STORAGE,
    clauses=("seismic.weights",),
    up=True,
)
def operating_weight_lb(
    heater_kind: str,
    storage_gal: Gallon,
    dry_weight_lb: Pound | None = None,
    *,
    water_lb_per_gal: PoundPerGallon,
    dry: Table,
) -> Worked:
    empty, said = dry_weight_lb, ""
    if empty is None:
        empty = strapping.usual_dry_weight(dry.rows, heater_kind, storage_gal)
        if empty is None:
            return Worked(
                None,
                says="The weight on the plate is needed: no usual weight is held for this size.",
                needs=("dry_weight_lb",),
            )
        said = f"Empty weight not given: {plain(empty)} lb taken as usual for this kind and size."
    value = water.operating_weight(empty, storage_gal, water_lb_per_gal)
    return Worked(
        value, f"{plain(empty)} + {plain(water_lb_per_gal)} x {plain(storage_gal)} = {plain_up(value, 2)} lb", said
    )


@figure(
    "lb",
    "0.1",
    "F = W / 3",
    "a third of the operating weight in any direction, IRC P2801.8",
    when=STORAGE,
    clauses=("seismic.force",),
    up=True,
)
def strap_force_lb(operating_weight_lb: Pound, *, parts: Count, of_parts: Count, stated: bool) -> Worked:
    value = strap_forces.strap_force(operating_weight_lb, parts, of_parts)
    said = "" if stated else "The adopted book states no force: a third of the weight stands for comparison."
    weight = plain_up(operating_weight_lb, 2)
    return Worked(value, f"{weight} x {plain(parts)} / {plain(of_parts)} = {plain_up(value)} lb", said)


@figure(
    "in",
    "0.01",
    "B to B + H/3, and clear of the controls by the text's distance and half the strap",
    _THIRDS,
    when=STORAGE,
    clauses=("seismic.placement", "seismic.controls"),
    band=True,
)
def lower_strap_band_in(
    tank_base_in: Inch, tank_height_in: Inch, strap_width_in: Inch | None = None, controls_top_in: Inch | None = None,
    controls_bottom_in: Inch | None = None, *, clearance: Inch | None = None, above_only: bool | None = None,
) -> Worked:  # fmt: skip
    third = strapping.lower_third(tank_base_in, tank_height_in)
    ends = inches_down(third.high_in)
    b, h = as_redone(lambda b, h: inches_down(b + h / 3), ends, Given(tank_base_in, TAPE), Given(tank_height_in, TAPE))
    worked = f"third: {b} to {b} + {h}/3 = {ends} in"
    if controls_top_in is None or clearance is None:
        said = (
            ""
            if clearance is None
            else f"The controls were not measured: keep the strap {eighths(clearance)} in clear of them as well."
        )
        return Worked((third.low_in, third.high_in), worked, said)
    # of a strap of unknown width the places are worked as for a line, and told with what half of it adds
    width = strap_width_in if strap_width_in is not None else Decimal(0)
    windows = strapping.lower_strap_windows(
        tank_base_in,
        tank_height_in,
        width,
        controls_top_in,
        controls_bottom_in,
        clearance_in=clearance,
        above_only=bool(above_only),
    )
    begins = controls_top_in + clearance + width / 2
    if strap_width_in is None:
        worked += f"; clear above the controls from {plain(controls_top_in)} + {plain(clearance)} in and half the strap's width"
    else:
        from_here = inches_up(begins)
        top, half = as_redone(
            lambda top, wide: inches_up(top + clearance + wide / 2), from_here, Given(controls_top_in, TAPE), Given(width, TAPE)
        )
        worked += f"; clear above the controls from {top} + {plain(clearance)} + {half}/2 = {from_here} in"
    if not windows:
        _, end = tape_ends(*third)
        begin, _ = tape_ends(begins, max(begins, tank_base_in + tank_height_in))
        said = f"No height meets both rules: the lower third ends {end} in from the floor, clear above the controls begins at {begin} in."
        if strap_width_in is None:
            said = f"No height meets both rules: the lower third ends {end} in from the floor, clear above the controls begins half the strap's width over {begin} in."
        return Worked(None, worked, said)
    if strap_width_in is None:
        low, high = tape_ends(*windows[0])
        said = f"The lower strap's center sits half the strap's width over {low} in or higher, and at {high} in or lower."
        if windows[0].high_in < controls_top_in:
            said = f"The lower strap's center sits at {low} in or higher, and half the strap's width under {high} in or lower."
        return Worked(tuple(windows[0]), worked, said, unsettled=True)
    notes = []
    if windows[0].high_in < controls_top_in:
        notes.append("Above the controls no height meets both rules; below them it does.")
    elif len(windows) > 1 and windows[1].high_in > tank_base_in + width / 2:
        notes.append(f"Or below the controls, {tape_range(*windows[1])} in.")
    return Worked((windows[0].low_in, windows[0].high_in), worked, " ".join(notes))


@figure("in", "0.01", "B + 2H/3 to B + H", _THIRDS, when=STORAGE, clauses=("seismic.placement",), band=True)
def upper_strap_band_in(
    tank_base_in: Inch, tank_height_in: Inch, heater_kind: str, heater_height_in: Inch | None = None
) -> Worked:
    band = strapping.upper_third(tank_base_in, tank_height_in)
    starts, ends = inches_up(band.low_in), inches_down(band.high_in)
    b, h = as_redone(
        lambda b, h: "; ".join((inches_up(b + 2 * h / 3), inches_down(b + h))), "; ".join((starts, ends)),
        Given(tank_base_in, TAPE), Given(tank_height_in, TAPE),
    )  # fmt: skip
    worked = f"{b} + 2 x {h}/3 to {b} + {h} = {starts} to {ends} in"
    if not (heater_kind in _TOPPED and heater_height_in):
        return Worked((band.low_in, band.high_in), worked)
    low = max(band.low_in, strapping.upper_third(tank_base_in, heater_height_in).low_in)
    if low > band.high_in:
        return Worked(
            None,
            worked,
            "The upper third of the whole heat pump lies above the tank's jacket: follow its maker.",
        )
    starts = inches_up(strapping.upper_third(tank_base_in, heater_height_in).low_in)
    b, h = as_redone(
        lambda b, h: inches_up(b + 2 * h / 3), starts, Given(tank_base_in, TAPE), Given(heater_height_in, TAPE)
    )
    worked += f"; whole heater from {b} + 2 x {h}/3 = {starts} in"
    return Worked(
        (low, band.high_in), worked, "In the upper third of the jacket and of the whole heat pump alike."
    )


_TOPPED = ("heat_pump_storage",)


def lower_straps(heights: tuple[Decimal, ...], base: Decimal, height: Decimal) -> tuple[Decimal, ...]:
    """The straps that count as the lower one: all in the lower third, else the lowest, where it is below the upper third."""
    third = strapping.lower_third(base, height)
    within = tuple(y for y in heights if third.holds(y))
    return within or tuple(y for y in heights[:1] if y < strapping.upper_third(base, height).low_in)


@figure(
    "in",
    "0.01",
    "above: (y - w/2) - top; below: bottom - (y + w/2)",
    "edge to edge, the lower strap",
    when=STRAPS,
    clauses=("seismic.controls",),
    down=True,
)
def strap_controls_clearance_in(
    strap_heights_in: Inches, strap_width_in: Inch, controls_top_in: Inch, tank_base_in: Inch, tank_height_in: Inch,
    controls_bottom_in: Inch | None = None, *, above_only: bool,
) -> Worked:  # fmt: skip
    lower = lower_straps(strap_heights_in, tank_base_in, tank_height_in)
    if not lower:
        return Worked(None, says="No strap sits low on the tank: there is nothing to measure from.")
    found = [
        (
            strapping.controls_clearance(
                y, strap_width_in, controls_top_in, controls_bottom_in, above_only=above_only
            ),
            y,
        )
        for y in lower
    ]
    least, at = min(found, key=lambda one: one[0].inches)
    if least.inches < 0 and not above_only and controls_bottom_in is None:
        return Worked(None, says="The bottom of the controls is needed.", needs=("controls_bottom_in",))
    half = f"{plain(strap_width_in, 4)}/2"
    worked = f"({plain(at, 4)} - {half}) - {plain(controls_top_in, 4)}"
    if least.side == "below":
        worked = f"{plain(controls_bottom_in or Decimal(0), 4)} - ({plain(at, 4)} + {half})"
    said = (
        f"Measured {least.side} the controls."
        if least.inches >= 0
        else "The strap reaches over the controls, or lies on the wrong side of them."
    )
    return Worked(least.inches, f"{worked} = {inches_down(least.inches)} in", said)


@figure(
    "ratio",
    "0.01",
    "(hc - B) / R; tips above 3 at a third of the weight",
    "moments about the edge of the base; own derivation",
    when=STORAGE,
    up=True,
)
def tipping_ratio(tank_base_in: Inch, tank_height_in: Inch, tank_diameter_in: Inch) -> Worked:
    middle = strap_forces.mass_height(tank_base_in, tank_height_in)
    value = strap_forces.tipping_ratio(middle, tank_base_in, tank_diameter_in / 2)
    said = (
        "Without straps it tips at a third of its weight."
        if value > 3
        else "At a third of its weight it does not tip; on a smooth floor it slides."
    )
    ratio = plain_up(value, 2)
    half, radius = as_redone(
        lambda half, radius: plain_up(half / radius, 2), ratio, Given(middle - tank_base_in, 3), Given(tank_diameter_in / 2, 3)
    )
    return Worked(value, f"{half} / {radius} = {ratio}", said)
