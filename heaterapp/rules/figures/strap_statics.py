"""Figures of the bracing: what each strap, leg, strut and lag carries, and what it may."""

from __future__ import annotations

from decimal import Decimal

from ..book import Table
from ..calc import fasteners, strap_forces
from ..calc.printed import row_where
from ..figure import figure
from ..questions.straps import LAGS, STRAPS, STRUTS
from ..report import Worked
from ..units import (
    Degree,
    Gauge,
    Inch,
    Inches,
    Pound,
    Pounds,
    Ratio,
    eighths,
    plain,
)
from ..when import is_

_STATICS = "statics of a sling with two legs, tank full, its mass at mid-height"
_FORCE = ("seismic.force", "seismic.weights")


@figure(
    "lb",
    "0.1",
    "Q upper = F (hc - h1) / (h2 - h1), Q lower = F - Q upper, hc = B + H/2",
    _STATICS,
    when=STRAPS,
)
def strap_reactions_lb(
    strap_force_lb: Pound, tank_base_in: Inch, tank_height_in: Inch, strap_heights_in: Inches
) -> Worked:
    if len(strap_heights_in) <= 1:
        return Worked(None, says="two straps are needed")
    middle = strap_forces.mass_height(tank_base_in, tank_height_in)
    shares = strap_forces.strap_reactions(strap_force_lb, middle, strap_heights_in)
    low, high = plain(strap_heights_in[0]), plain(strap_heights_in[-1])
    said = (
        ""
        if strap_forces.straddles(middle, strap_heights_in)
        else "The tank's middle is not between the straps: one of them is pushed the other way."
    )
    if len(strap_heights_in) > 2 and not said:
        said = "The outer two straps are given all of it, on the safe side."
    return Worked(
        shares,
        f"{plain(strap_force_lb)} x ({plain(middle)} - {low}) / ({high} - {low}) = {plain(shares[-1])} lb upper",
        said,
    )


@figure("deg", "0.1", "phi = atan((s/2) / c) - asin(R / d)", _STATICS, when=STRAPS)
def strap_splay_deg(tank_diameter_in: Inch, wall_gap_in: Inch, anchor_spacing_in: Inch) -> Worked:
    legs = strap_forces.splay(tank_diameter_in, wall_gap_in, anchor_spacing_in)
    value = strap_forces.splay_deg(legs)
    worked = f"R = {plain(tank_diameter_in / 2)}, c = {plain(legs.axis_from_wall_in)}, s = {plain(anchor_spacing_in)}: {plain(value, 1)} deg"
    return Worked(
        value, worked, "" if value > 0 else "The legs do not spread: nothing in them holds the tank sideways."
    )


@figure("lb", "0.1", "T = Q / (2 cos phi), one leg, lowest strap first", _STATICS, when=STRAPS)
def strap_leg_tension_lb(
    strap_reactions_lb: Pounds | None = None,
    strap_splay_deg: Degree | None = None,
    tank_diameter_in: Inch | None = None,
    wall_gap_in: Inch | None = None,
    anchor_spacing_in: Inch | None = None,
) -> Worked:
    loads = _loads(strap_reactions_lb, tank_diameter_in, wall_gap_in, anchor_spacing_in)
    if loads is None:
        return Worked(None, says="two straps, the tank's diameter, the gap and the anchor spacing are needed")
    values = tuple(load.leg_tension_lb for load in loads)
    angle = plain(strap_splay_deg, 1) if strap_splay_deg is not None else ""
    return Worked(
        values,
        "; ".join(
            f"{plain(q, 1)} / (2 cos {angle}) = {plain(t, 1)}"
            for q, t in zip(strap_reactions_lb or (), values, strict=True)
        ),
    )


@figure("lb", "0.1", "N = Q / 2 on each of a strap's two lags, lowest strap first", _STATICS, when=STRAPS)
def lag_withdrawal_lb(
    strap_reactions_lb: Pounds | None = None,
    tank_diameter_in: Inch | None = None,
    wall_gap_in: Inch | None = None,
    anchor_spacing_in: Inch | None = None,
) -> Worked:
    loads = _loads(strap_reactions_lb, tank_diameter_in, wall_gap_in, anchor_spacing_in)
    if loads is None:
        return Worked(None, says="two straps, the tank's diameter, the gap and the anchor spacing are needed")
    values = tuple(load.anchor_pull_lb for load in loads)
    return Worked(
        values,
        "; ".join(
            f"{plain(q, 1)} / 2 = {plain(n, 1)}"
            for q, n in zip(strap_reactions_lb or (), values, strict=True)
        ),
    )


def _loads(
    shares: tuple[Decimal, ...] | None, diameter: Decimal | None, gap: Decimal | None, spacing: Decimal | None
) -> list[strap_forces.StrapLoad] | None:
    if shares is None or diameter is None or gap is None or spacing is None:
        return None
    legs = strap_forces.splay(diameter, gap, spacing)
    return [strap_forces.strap_load(share, legs) for share in shares]


@figure(
    "lb",
    "1",
    "W' = W CD t, W by wood and diameter, t the thread in the wood",
    "wood-design standard 2018, 12.2.1 and Table 12.2A",
    when=LAGS,
    clauses=("seismic.lag_withdrawal",),
)
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
    return Worked(
        value,
        f"{plain(reference)} x {plain(load_duration)} x {plain(thread, 4)} = {plain(value, 0)} lb",
        said,
    )


@figure(
    "lb",
    "1",
    "least of t w Fy / 1.67 and t (w - d) Fu / 2",
    "cold-formed steel practice, steel grade from memory",
    when=STRAPS & is_("strap_kind", "steel_strap", "perforated_tape"),
    clauses=("seismic.strap_strength",),
)
def strap_allowable_lb(
    strap_width_in: Inch, strap_gauge: Gauge, strap_hole_in: Inch, *, gauges: Table, steel: Table
) -> Worked:
    sheet, grade = row_where(gauges.rows, gauge=strap_gauge), steel.rows[0]
    if sheet is None or strap_hole_in >= strap_width_in:
        return Worked(
            None,
            says=f"no thickness is held for {plain(strap_gauge)} gauge"
            if sheet is None
            else "the hole is as wide as the strap",
        )
    limits = ("yield_psi", "ultimate_psi", "yield_safety", "rupture_safety")
    found = fasteners.strap_tension(
        sheet["bare_in"], strap_width_in, strap_hole_in, **{name: Decimal(grade[name]) for name in limits}
    )
    thick = plain(sheet["bare_in"], 4)
    return Worked(
        found.allowable_lb,
        f"{thick} x {plain(strap_width_in)} steel, hole {plain(strap_hole_in)}: {plain(found.allowable_lb, 0)} lb",
        "A listed kit has its own listing.",
    )


@figure("lb", "0.1", "P = Q / (2 sin theta), in each strut, lowest strap first", _STATICS, when=STRUTS)
def strut_force_lb(strap_reactions_lb: Pounds, strut_angle_deg: Degree) -> Worked:
    values = tuple(strap_forces.strut_force(share, strut_angle_deg) for share in strap_reactions_lb)
    return Worked(values, f"Q / (2 sin {plain(strut_angle_deg)})")
