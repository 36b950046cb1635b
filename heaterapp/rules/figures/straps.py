"""Figures of the bracing: weight, force, bands, and what each strap and lag carries."""

from __future__ import annotations

from decimal import Decimal

from ..book import Table
from ..calc import fasteners, strap_forces, strapping, water
from ..calc.printed import row_where
from ..figure import figure
from ..questions.plate import STORAGE
from ..questions.straps import LAGS, STRAPS, STRUTS
from ..report import Worked
from ..units import Count, Degree, Gallon, Gauge, Inch, Inches, Pound, Pounds, Ratio, eighths, plain, tape_range
from ..when import is_

_STATICS = "statics of a sling with two legs, tank full, its mass at mid-height"
_FORCE = ("seismic.force", "seismic.weights")


@figure("", "1", "by the place's text: always, or by seismic design category and building", "seismic clauses of the adopted books", when=STORAGE, clauses=("seismic.required",))
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


@figure("lb", "0.1", "W = empty weight + 8.33 x gallons", "cold water at 8.33 lb a gallon", when=STORAGE, clauses=("seismic.weights",))
def operating_weight_lb(heater_kind: str, storage_gal: Gallon, dry_weight_lb: Pound | None = None, *, water_lb_per_gal: Ratio, dry: Table) -> Worked:
    empty, said = dry_weight_lb, ""
    if empty is None:
        empty = strapping.usual_dry_weight(dry.rows, heater_kind, storage_gal)
        if empty is None:
            return Worked(None, says="the weight on the plate is needed; no usual weight is held for this size")
        said = f"Empty weight not given: {plain(empty)} lb taken as usual for this size."
    value = water.operating_weight(empty, storage_gal, water_lb_per_gal)
    return Worked(value, f"{plain(empty)} + {plain(water_lb_per_gal)} x {plain(storage_gal)} = {plain(value)} lb", said)


@figure("lb", "0.1", "F = W / 3", "a third of the operating weight in any direction", when=STORAGE, clauses=_FORCE)
def strap_force_lb(operating_weight_lb: Pound, *, parts: Count, of_parts: Count) -> Worked:
    value = strap_forces.strap_force(operating_weight_lb, parts, of_parts)
    return Worked(value, f"{plain(operating_weight_lb)} x {plain(parts)} / {plain(of_parts)} = {plain(value)} lb")


@figure("in", "0.01", "B to B + H/3, and clear of the controls by the text's distance plus half the strap", "thirds of the tank's own height on its stand", when=STORAGE, clauses=("seismic.controls", "seismic.placement"))
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
        tank_base_in, tank_height_in, width, controls_top_in, controls_bottom_in, clearance_in=clearance, above_only=bool(above_only)
    )
    if not windows:
        least = controls_top_in + clearance + width / 2
        return Worked(None, says=f"no height satisfies both: the lower third ends at {eighths(third.high_in)} in, above the controls begins at {eighths(least)} in")
    other = f" Or {tape_range(windows[1].low_in, windows[1].high_in)} in." if len(windows) > 1 else ""
    worked = f"{_thirds(tank_base_in, tank_height_in, 'lower')}; controls {eighths(controls_top_in)} + {eighths(clearance)} + {eighths(width)} / 2"
    return Worked((windows[0].low_in, windows[0].high_in), worked, other.strip())


@figure("in", "0.01", "B + 2H/3 to B + H", "thirds of the tank's own height on its stand", when=STORAGE, clauses=("seismic.placement",))
def upper_strap_band_in(tank_base_in: Inch, tank_height_in: Inch) -> Worked:
    band = strapping.upper_third(tank_base_in, tank_height_in)
    return Worked((band.low_in, band.high_in), _thirds(tank_base_in, tank_height_in, "upper"))


def _thirds(base: Decimal, height: Decimal, which: str) -> str:
    b, h = plain(base), plain(height)
    return f"{b} to {b} + {h} / 3" if which == "lower" else f"{b} + 2 x {h} / 3 to {b} + {h}"


@figure("in", "0.01", "above: (y - w/2) - top; below: bottom - (y + w/2)", "edge to edge, the lowest strap", when=STRAPS, clauses=("seismic.controls",))
def strap_controls_clearance_in(
    strap_heights_in: Inches, strap_width_in: Inch, controls_top_in: Inch, controls_bottom_in: Inch | None = None, *, above_only: bool
) -> Worked:
    if not strap_heights_in:
        return Worked(None, says="no strap height was given")
    found = strapping.controls_clearance(strap_heights_in[0], strap_width_in, controls_top_in, controls_bottom_in, above_only=above_only)
    y, w = plain(strap_heights_in[0]), plain(strap_width_in)
    worked = f"({y} - {w} / 2) - {plain(controls_top_in)}" if found.side == "above" else f"{plain(controls_bottom_in or Decimal(0))} - ({y} + {w} / 2)"
    return Worked(found.inches, f"{worked} = {plain(found.inches)} in", f"Measured {found.side} the controls.")


@figure("lb", "0.1", "Q upper = F (hc - h1) / (h2 - h1), Q lower = F - Q upper, hc = B + H/2", _STATICS, when=STRAPS)
def strap_reactions_lb(strap_force_lb: Pound, tank_base_in: Inch, tank_height_in: Inch, strap_heights_in: Inches) -> Worked:
    if len(strap_heights_in) <= 1:
        return Worked(None, says="two straps are needed")
    middle = strap_forces.mass_height(tank_base_in, tank_height_in)
    shares = strap_forces.strap_reactions(strap_force_lb, middle, strap_heights_in)
    low, high = plain(strap_heights_in[0]), plain(strap_heights_in[-1])
    said = "" if strap_forces.straddles(middle, strap_heights_in) else "The tank's middle is not between the straps: one of them is pushed the other way."
    if len(strap_heights_in) > 2 and not said:
        said = "The outer two straps are given all of it, on the safe side."
    return Worked(shares, f"{plain(strap_force_lb)} x ({plain(middle)} - {low}) / ({high} - {low}) = {plain(shares[-1])} lb upper", said)


@figure("deg", "0.1", "phi = atan((s/2) / c) - asin(R / d)", _STATICS, when=STRAPS)
def strap_splay_deg(tank_diameter_in: Inch, wall_gap_in: Inch, anchor_spacing_in: Inch) -> Worked:
    legs = strap_forces.splay(tank_diameter_in, wall_gap_in, anchor_spacing_in)
    value = strap_forces.splay_deg(legs)
    worked = f"R = {plain(tank_diameter_in / 2)}, c = {plain(legs.axis_from_wall_in)}, s = {plain(anchor_spacing_in)}: {plain(value, 1)} deg"
    return Worked(value, worked, "" if value > 0 else "The legs do not spread: nothing in them holds the tank sideways.")


@figure("lb", "0.1", "T = Q / (2 cos phi), one leg, lowest strap first", _STATICS, when=STRAPS)
def strap_leg_tension_lb(strap_reactions_lb: Pounds | None = None, strap_splay_deg: Degree | None = None, tank_diameter_in: Inch | None = None, wall_gap_in: Inch | None = None, anchor_spacing_in: Inch | None = None) -> Worked:
    loads = _loads(strap_reactions_lb, tank_diameter_in, wall_gap_in, anchor_spacing_in)
    if loads is None:
        return Worked(None, says="two straps, the tank's diameter, the gap and the anchor spacing are needed")
    values = tuple(load.leg_tension_lb for load in loads)
    angle = plain(strap_splay_deg, 1) if strap_splay_deg is not None else ""
    return Worked(values, "; ".join(f"{plain(q, 1)} / (2 cos {angle}) = {plain(t, 1)}" for q, t in zip(strap_reactions_lb or (), values, strict=True)))


@figure("lb", "0.1", "N = Q / 2 on each of a strap's two lags, lowest strap first", _STATICS, when=STRAPS)
def lag_withdrawal_lb(strap_reactions_lb: Pounds | None = None, tank_diameter_in: Inch | None = None, wall_gap_in: Inch | None = None, anchor_spacing_in: Inch | None = None) -> Worked:
    loads = _loads(strap_reactions_lb, tank_diameter_in, wall_gap_in, anchor_spacing_in)
    if loads is None:
        return Worked(None, says="two straps, the tank's diameter, the gap and the anchor spacing are needed")
    values = tuple(load.anchor_pull_lb for load in loads)
    return Worked(values, "; ".join(f"{plain(q, 1)} / 2 = {plain(n, 1)}" for q, n in zip(strap_reactions_lb or (), values, strict=True)))


def _loads(shares: tuple[Decimal, ...] | None, diameter: Decimal | None, gap: Decimal | None, spacing: Decimal | None) -> list[strap_forces.StrapLoad] | None:
    if shares is None or diameter is None or gap is None or spacing is None:
        return None
    legs = strap_forces.splay(diameter, gap, spacing)
    return [strap_forces.strap_load(share, legs) for share in shares]


@figure("lb", "1", "W' = W CD t, W by wood and diameter, t the thread in the wood", "wood-design standard 2018, 12.2.1 and Table 12.2A", when=LAGS, clauses=("seismic.lag_withdrawal",))
def lag_allowable_lb(
    lag_diameter_in: Inch, lag_length_in: Inch, wall_cover_in: Inch, stud_species: str | None = None,
    *, species: Table, dimensions: Table, load_duration: Ratio, least_diameters: Ratio, unknown_gravity: Ratio,
) -> Worked:  # fmt: skip
    wood = row_where(species.rows, species=stud_species) if stud_species else None
    gravity = wood["gravity"] if wood else unknown_gravity
    lag = row_where(dimensions.rows, diameter_in=lag_diameter_in)
    if lag is None:
        return Worked(None, says=f"no dimensions are held for a {eighths(lag_diameter_in)} in lag")
    reference = fasteners.withdrawal_as_printed(gravity, lag_diameter_in)
    thread = fasteners.thread_in_wood(lag_length_in, lag["tip_in"], wall_cover_in)
    value = fasteners.lag_withdrawal_allowable(
        reference, thread, load_duration=load_duration, penetration_in=fasteners.penetration(lag_length_in, lag["tip_in"], wall_cover_in),
        lag_diameter_in=lag_diameter_in, least_diameters=least_diameters,
    )  # fmt: skip
    said = f"Wood not known: gravity {plain(unknown_gravity)} taken." if not wood else ""
    if value == 0:
        said = f"{said} Less than {plain(least_diameters)} diameters in the wood: no value.".strip()
    return Worked(value, f"{plain(reference)} x {plain(load_duration)} x {plain(thread, 4)} = {plain(value, 0)} lb", said)


@figure("lb", "1", "least of t w Fy / 1.67 and t (w - d) Fu / 2", "cold-formed steel practice, steel grade from memory", when=STRAPS & is_("strap_kind", "steel_strap", "perforated_tape"), clauses=("seismic.strap_strength",))
def strap_allowable_lb(strap_width_in: Inch, strap_gauge: Gauge, strap_hole_in: Inch, *, gauges: Table, steel: Table) -> Worked:
    sheet, grade = row_where(gauges.rows, gauge=strap_gauge), steel.rows[0]
    if sheet is None or strap_hole_in >= strap_width_in:
        return Worked(None, says=f"no thickness is held for {plain(strap_gauge)} gauge" if sheet is None else "the hole is as wide as the strap")
    limits = ("yield_psi", "ultimate_psi", "yield_safety", "rupture_safety")
    found = fasteners.strap_tension(sheet["bare_in"], strap_width_in, strap_hole_in, **{name: Decimal(grade[name]) for name in limits})
    thick = plain(sheet["bare_in"], 4)
    return Worked(found.allowable_lb, f"{thick} x {plain(strap_width_in)} steel, hole {plain(strap_hole_in)}: {plain(found.allowable_lb, 0)} lb", "A listed kit has its own listing.")


@figure("lb", "0.1", "P = Q / (2 sin theta), in each strut, lowest strap first", _STATICS, when=STRUTS)
def strut_force_lb(strap_reactions_lb: Pounds, strut_angle_deg: Degree) -> Worked:
    values = tuple(strap_forces.strut_force(share, strut_angle_deg) for share in strap_reactions_lb)
    return Worked(values, f"Q / (2 sin {plain(strut_angle_deg)})")


@figure("ratio", "0.01", "(hc - B) / R; tips above 3 at a third of the weight", "moments about the edge of the base", when=STORAGE)
def tipping_ratio(tank_base_in: Inch, tank_height_in: Inch, tank_diameter_in: Inch) -> Worked:
    middle = strap_forces.mass_height(tank_base_in, tank_height_in)
    value = strap_forces.tipping_ratio(middle, tank_base_in, tank_diameter_in / 2)
    return Worked(value, f"{plain(middle - tank_base_in)} / {plain(tank_diameter_in / 2)} = {plain(value)}", "Unstrapped it would tip." if value > 3 else "Unstrapped it would slide before it tips.")
