"""Figures of the bracing: what each strap, leg, strut and lag carries, and what it may."""

from __future__ import annotations

from decimal import Decimal

from ..book import Table
from ..calc import fasteners, strap_forces, strap_steel
from ..calc.printed import row_where
from ..figure import figure
from ..questions.straps import LAGS, STRAPS, STRUTS
from ..redone import Given, as_redone
from ..report import Worked
from ..units import (
    HUNDREDTHS,
    Degree,
    Gauge,
    Inch,
    Inches,
    Pound,
    Pounds,
    Ratio,
    eighths,
    plain,
    plain_down,
    plain_up,
    rounded_up,
)  # fmt: skip
from .straps import TAPE

_STATICS = "statics of a sling with two legs, tank full, its mass at mid-height; own derivation"
TENTH, ANGLE = 1, 6
"""To how many places the figures print a load in pounds, and what may carry it; and a strut's angle that was typed."""
_WOOD = (
    "seismic.withdrawal",
    "seismic.gravity",
    "seismic.load_duration",
    "seismic.penetration",
    "seismic.lag_sizes",
    "seismic.studs",
)


@figure(
    "lb",
    "0.1",
    "Q upper = F (hc - h1) / (h2 - h1), Q lower = F (h2 - hc) / (h2 - h1), hc = B + H/2",
    _STATICS,
    when=STRAPS,
    up=True,
)
def strap_reactions_lb(
    strap_force_lb: Pound, tank_base_in: Inch, tank_height_in: Inch, strap_heights_in: Inches
) -> Worked:
    if len(strap_heights_in) < 2:
        return Worked(None, says="It takes two straps to hold a tank upright.")
    middle = strap_forces.mass_height(tank_base_in, tank_height_in)
    shares = strap_forces.strap_reactions(strap_force_lb, middle, strap_heights_in)
    low, high = strap_heights_in[0], strap_heights_in[-1]
    upper, lower = load_told(shares[-1]), load_told(shares[0])
    force = plain(strap_force_lb)
    over, under, apart = as_redone(
        lambda over, under, apart: "; ".join(load_told(strap_force_lb * arm / apart) for arm in (over, under)),
        "; ".join((upper, lower)), *(Given(one, TAPE) for one in (middle - low, high - middle, high - low)),
    )  # fmt: skip
    said = "" if len(strap_heights_in) == 2 else "The outer two straps are given all of it, more than they carry."
    if not strap_forces.straddles(middle, strap_heights_in):
        said = "The middle of the tank is not between the straps: one of them is pushed the other way."
    worked = [f"{force} x {over} / {apart} = {upper} lb upper", f"{force} x {under} / {apart} = {lower} lb lower"]
    return Worked(shares, "; ".join(worked), said)


@figure(
    "deg",
    "0.01",
    "phi = atan((s/2) / c) - asin(R / d), c = R + gap, d^2 = (s/2)^2 + c^2",
    _STATICS,
    when=STRAPS,
)
def strap_splay_deg(tank_diameter_in: Inch, wall_gap_in: Inch, anchor_spacing_in: Inch) -> Worked:
    legs = strap_forces.splay(tank_diameter_in, wall_gap_in, anchor_spacing_in)
    value = strap_forces.splay_deg(legs)
    worked = f"R = {plain(tank_diameter_in / 2)}, c = {plain(legs.axis_from_wall_in)}, s = {plain(anchor_spacing_in)}, d = {plain(legs.anchor_from_axis_in)} in: {plain(value, HUNDREDTHS)} deg"
    return Worked(
        value,
        worked,
        "" if value > 0 else "The legs do not spread: nothing in them holds the tank along the wall.",
    )


@figure("lb", "0.1", "T = Q / (2 cos phi), one leg, lowest strap first", _STATICS, when=STRAPS, up=True)
def strap_leg_tension_lb(strap_reactions_lb: Pounds, strap_splay_deg: Degree) -> Worked:
    angle = abs(strap_splay_deg)
    values = tuple(strap_forces.strap_load_at(share, angle).leg_tension_lb for share in strap_reactions_lb)
    worked = [
        f"{plain(abs(share))} / (2 cos {plain(angle)}) = {plain_up(one, TENTH)} lb"
        for share, one in zip(strap_reactions_lb, values, strict=True)
    ]
    return Worked(values, "; ".join(worked))


def load_told(load: Decimal) -> str:
    """A load as its figure prints it: never smaller than it is, whichever way it goes."""
    return plain(rounded_up(abs(load), TENTH).copy_sign(load), TENTH)


@figure(
    "lb", "0.1", "N = Q / 2, on each of a strap's two lags, lowest strap first; behind a strut Q / (2 tan theta) where that is more",
    _STATICS, when=STRAPS, up=True,
)  # fmt: skip
def lag_withdrawal_lb(
    strap_reactions_lb: Pounds, strap_kind: str, strut_angle_deg: Degree | None = None
) -> Worked:
    braced = strap_kind == "conduit_struts"
    if braced and strut_angle_deg is None:
        return Worked(None, says="the angle of the struts is needed", needs=("strut_angle_deg",))

    def pull(load: Decimal) -> Decimal:
        behind = strap_forces.strut_load(load, strut_angle_deg) if braced and strut_angle_deg is not None else None
        return max(load / 2, behind.anchor_pull_lb) if behind else load / 2

    values = tuple(pull(abs(share)) for share in strap_reactions_lb)
    angle = plain(strut_angle_deg or Decimal(0), ANGLE)
    worked = [
        f"{plain(abs(share))} / (2 tan {angle}) = {plain_up(value, TENTH)} lb"
        if value > abs(share) / 2
        else f"{plain(abs(share))} / 2 = {plain_up(value, TENTH)} lb"
        for value, share in zip(values, strap_reactions_lb, strict=True)
    ]
    return Worked(values, "; ".join(worked))


@figure(
    "lb", "0.1", "P = Q / (2 sin theta), in each strut of the strap that carries most", _STATICS, when=STRUTS, up=True,
)  # fmt: skip
def strut_force_lb(strap_reactions_lb: Pounds, strut_angle_deg: Degree) -> Worked:
    most = max(abs(share) for share in strap_reactions_lb)
    value = strap_forces.strut_force(most, strut_angle_deg)
    return Worked(value, f"{plain(most)} / (2 sin {plain(strut_angle_deg, ANGLE)}) = {plain_up(value, TENTH)} lb")


@figure(
    "lb",
    "0.1",
    "W' = W CD t: W by wood and diameter, CD for a short load, t the full thread in the stud",
    "wood-design standard 2018, 12.2.1, Table 12.2A and 2.3.2; length of the tip from memory of Table L2",
    when=LAGS,
    clauses=_WOOD,
    down=True,
)
def lag_allowable_lb(
    lag_diameter_in: Inch, lag_length_in: Inch, wall_cover_in: Inch, stud_species: str | None = None,
    *, withdrawal: Table, species: Table, dimensions: Table, load_duration: Ratio, least_diameters: Ratio, stud_deep: Inch,
) -> Worked:  # fmt: skip
    wood = row_where(species.rows, species=stud_species or "unknown")
    lag = row_where(dimensions.rows, diameter_in=lag_diameter_in)
    if wood is None or lag is None:
        return Worked(
            None, says=f"No length of tip is held for a {eighths(lag_diameter_in)} in lag: it needs a design."
        )
    gravity = wood["gravity"]
    printed = row_where(withdrawal.rows, gravity=gravity, diameter_in=lag_diameter_in)
    reference = printed["value"] if printed else fasteners.withdrawal_as_printed(gravity, lag_diameter_in)
    thread = fasteners.thread_in_wood(lag_length_in, lag["tip_in"], wall_cover_in, stud_deep)
    into = fasteners.penetration(lag_length_in, lag["tip_in"], wall_cover_in, stud_deep)
    value = fasteners.lag_withdrawal_allowable(
        reference, thread, load_duration=load_duration, lag_diameter_in=lag_diameter_in, least_diameters=least_diameters,
        penetration_in=into,
    )  # fmt: skip
    said = "" if stud_species else f"Wood not known: the lightest, gravity {plain(gravity)}, is taken."
    if lag_length_in > wall_cover_in + stud_deep:
        said = f"{said} Longer than a {eighths(stud_deep)} in stud is deep: only the thread inside it counts.".strip()
    carries = plain_down(value, TENTH)
    (grips,) = as_redone(
        lambda grips: plain_down(reference * load_duration * grips if value else value, TENTH), carries, Given(thread, TAPE)
    )
    worked = f"{plain(reference)} x {plain(load_duration)} x {grips} in = {carries} lb"
    if into < least_diameters * lag_diameter_in:
        said = f"Less than {plain(least_diameters)} diameters of it in the wood: it counts for nothing."
        worked = (
            f"under {plain(least_diameters)} x {plain(lag_diameter_in)} in the wood, tip not counted: 0 lb"
        )
    return Worked(value, worked, said)


@figure(
    "lb",
    "0.1",
    "least of t w Fy / Sy and t (w - d) Fu / Su",
    "cold-formed steel practice; grade of the steel and safety factors from memory",
    when=STRAPS,
    clauses=("seismic.strap_strength",),
    down=True,
)
def strap_allowable_lb(
    strap_kind: str,
    strap_width_in: Inch,
    strap_gauge: Gauge,
    strap_hole_in: Inch,
    *,
    gauges: Table,
    steel: Table,
) -> Worked:
    if strap_kind == "listed_kit":
        return Worked(None, says="A listed kit goes by its own listing.")
    sheet, grade = row_where(gauges.rows, gauge=strap_gauge), steel.rows[0]
    if sheet is None:
        return Worked(None, says=f"No thickness is held for {plain(strap_gauge)} gauge.")
    limits = {
        name: Decimal(grade[name]) for name in ("yield_psi", "ultimate_psi", "yield_safety", "rupture_safety")
    }
    found = strap_steel.strap_tension(sheet["bare_in"], strap_width_in, strap_hole_in, **limits)
    bare, fy, fu, o_yield, o_rupture = sheet["bare_in"], *limits.values()
    steel_told = plain_down(found.yield_lb, TENTH), plain_down(found.rupture_lb, TENTH)
    wide, hole = as_redone(
        lambda wide, hole: "; ".join((
            plain_down(bare * wide * fy / o_yield, TENTH), plain_down(bare * max(wide - hole, Decimal(0)) * fu / o_rupture, TENTH),
        )),
        "; ".join(steel_told), Given(strap_width_in, TAPE + 1), Given(strap_hole_in, TAPE + 1),
    )  # fmt: skip
    thick = plain(bare, TAPE)
    yields, breaks, over, under = map(plain, limits.values())
    worked = f"yield {thick} x {wide} x {yields} / {over} = {steel_told[0]}; rupture {thick} x ({wide} - {hole}) x {breaks} / {under} = {steel_told[1]} lb"
    if strap_hole_in >= strap_width_in:
        worked = f"the hole leaves nothing of the strap: {steel_told[1]} lb"
    return Worked(found.allowable_lb, worked, f"Steel of {yields} and {breaks} psi is taken, from memory.")
