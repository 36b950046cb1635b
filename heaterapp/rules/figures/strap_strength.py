"""Figures of what a lag screw may carry on the slant, and a strut."""

from __future__ import annotations

from decimal import Decimal

from ..book import Table
from ..calc import fasteners, strap_forces, strut_tubes
from ..calc.printed import row_where
from ..figure import figure
from ..questions.straps import LAGS, STRUTS
from ..redone import Given, as_redone
from ..report import Worked
from ..units import Degree, Gauge, Inch, Pound, Pounds, Ratio, eighths, plain, plain_down, rounded_down
from .strap_statics import ANGLE, TENTH
from .straps import TAPE


@figure(
    "lb",
    "0.1",
    "Z'a = W' Z' / (W' sin^2 a + Z' cos^2 a), a from straight out of the wall; Z' = Z CD x depth / full depth x thickness / the table's",
    "wood-design standard 2018, Table 12K; 12.4.1 from memory; thinner steel in proportion: own reading, which gives less",
    when=LAGS,
    down=True,
    clauses=(
        "seismic.lateral", "seismic.pull_and_shear", "seismic.gravity", "seismic.load_duration", "seismic.penetration",
        "seismic.lag_sizes", "seismic.studs", "seismic.strap_strength", "seismic.strut_strength",
    ),
)  # fmt: skip
def lag_slant_allowable_lb(
    strap_reactions_lb: Pounds, lag_allowable_lb: Pound, strap_splay_deg: Degree,
    lag_diameter_in: Inch, lag_length_in: Inch, wall_cover_in: Inch, strap_gauge: Gauge, strap_kind: str, stud_species: str | None = None,
    strut_angle_deg: Degree | None = None, strut_diameter_in: Inch | None = None,
    *, lateral: Table, plate: Inch, full_diameters: Ratio, species: Table, load_duration: Ratio, least_diameters: Ratio,
    dimensions: Table, stud_deep: Inch, gauges: Table, tubes: Table,
) -> Worked:  # fmt: skip
    most, angle = max(abs(share) for share in strap_reactions_lb), abs(strap_splay_deg)
    worst = strap_forces.strap_load_at(most, angle)
    sheet, wood = row_where(gauges.rows, gauge=strap_gauge), row_where(species.rows, species=stud_species or "unknown")
    lag = row_where(dimensions.rows, diameter_in=lag_diameter_in)
    if sheet is None:
        return Worked(None, says=f"No thickness is held for {plain(strap_gauge)} gauge: the push along the wall is not worked.")
    thick, part = sheet["bare_in"], "strap"
    if strap_kind == "conduit_struts":
        if strut_angle_deg is None:
            return Worked(None, says="the angle of the struts is needed", needs=("strut_angle_deg",))
        behind = strap_forces.strut_load(most, strut_angle_deg)
        tube = row_where(tubes.rows, trade_in=strut_diameter_in) if strut_diameter_in is not None else None
        if behind.leg_tension_lb > worst.leg_tension_lb:
            worst, angle = behind, strut_angle_deg
            # the end of a conduit is flattened to its two walls; of an unknown one the strap's thickness is taken
            thick, part = (2 * tube["wall_in"], "conduit's end") if tube else (thick, part)
    # a lag of no held size has no allowable pull either, and does not come here
    assert wood is not None
    assert lag is not None
    # A thicker lag holds no less: the thickest printed that is not thicker than this one.
    printed = [one for one in lateral.rows if one["gravity"] == wood["gravity"] and one["diameter_in"] <= lag_diameter_in]
    reference = max(one["across_lb"] for one in printed)
    share = min(thick / plate, Decimal(1))
    deep = fasteners.penetration(lag_length_in, lag["tip_in"], wall_cover_in, stud_deep)

    def across_at(deep: Decimal) -> Decimal:
        return rounded_down(fasteners.lag_lateral_allowable(
            reference * share, load_duration=load_duration, penetration_in=deep, lag_diameter_in=lag_diameter_in,
            full_diameters=full_diameters, least_diameters=least_diameters,
        ), TENTH)  # fmt: skip

    across = across_at(deep)
    found = fasteners.pull_and_shear(
        worst.anchor_pull_lb, worst.anchor_along_wall_lb, pull_allowable_lb=lag_allowable_lb, along_allowable_lb=across
    )
    carries = plain_down(found.allowable_lb, TENTH)
    if lag_allowable_lb == 0:
        return Worked(found.allowable_lb, f"no thread in the wood that counts, so {carries} lb")
    straight, sideways, turned = plain(lag_allowable_lb), plain(across), plain(angle, ANGLE)
    (into,) = as_redone(lambda deep: plain(across_at(deep)), sideways, Given(deep, TAPE))
    short = deep < full_diameters * lag_diameter_in
    depth = f" x {into} / {plain(full_diameters * lag_diameter_in)}" if short else ""
    steel = f" x {plain(thick, 4)} / {plain(plate, 4)}" if share < 1 else ""
    worked = (
        f"sideways {plain(reference)} x {plain(load_duration)}{depth}{steel} = {sideways} lb; "
        f"{straight} x {sideways} / ({straight} x (sin {turned})^2 + {sideways} x (cos {turned})^2) = {carries} lb"
    )
    said = "" if share == 1 else f"The table is for steel {plain(plate)} in thick; this {part} is {plain(thick, 4)} in."
    return Worked(found.allowable_lb, worked, said)


@figure(
    "lb",
    "0.1",
    "P = A Fcr / S: Fcr by L / r, both ends pinned",
    "steel standard AISC 360-10 E3 as summed up at bgstructuralengineering.com; steel of the conduit from memory",
    when=STRUTS,
    down=True,
    clauses=("seismic.strut_strength",),
)
def strut_allowable_lb(
    strut_diameter_in: Inch, strut_length_in: Inch, *, tubes: Table, column: Table
) -> Worked:
    tube, steel = row_where(tubes.rows, trade_in=strut_diameter_in), column.rows[0]
    if tube is None:
        return Worked(None, says=f"No wall thickness is held for a {eighths(strut_diameter_in)} in strut: it needs a design.")
    limits = {name: Decimal(steel[name]) for name in ("modulus_psi", "yield_psi", "safety")}
    found = strut_tubes.tube_strut(tube["outside_in"], tube["wall_in"], strut_length_in, **limits)
    outside, wall = plain(tube["outside_in"]), plain(tube["wall_in"])
    worked = (
        f"tube {outside} x {wall} in, L / r = {plain(found.slenderness, 1)}, "
        f"steel of {plain(limits['yield_psi'])} psi: {plain_down(found.allowable_lb, TENTH)} lb"
    )
    return Worked(found.allowable_lb, worked, "The tube alone: flattened or bent ends carry less and are not worked here.")
