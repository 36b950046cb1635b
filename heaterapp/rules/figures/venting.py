"""Figures of the vent: areas, lengths and heights that the printed tables and rules give."""

from __future__ import annotations

from decimal import Decimal

from ..book import Table
from ..calc import vent_ends, venting
from ..catalog import NotHere
from ..figure import figure
from ..questions.vent import CHIMNEYS, CONNECTOR, NATURAL, ROOF, VENTED
from ..report import Worked
from ..units import Foot, Inch, Ratio, SquareInch, eighths, eighths_up, inches_up, plain, plain_down, plain_up
from ..when import is_

FINE = 6
"""To how many places an answer stands in a working, so that it comes to what is printed."""
CHIMNEY_ROOF = ROOF & is_("vent_kind", *CHIMNEYS, "single_wall")
_SHARED_SIZES = ("common_vent_diameter_in", "vent_flue_area_in2")
"""What gives the size of a shared vent: a pipe's diameter or a chimney's flue; a job asks one of them."""
GAS_VENT_ROOF = ROOF & is_("vent_kind", "type_b", "special_gas")


@figure(
    "ratio", "0.01", "vent area / outlet area", "geometry; the area rule of the fuel gas code", when=NATURAL & VENTED, up=True
)  # fmt: skip
def vent_area_ratio(
    draft_hood_outlet_in: Inch,
    vent_shared: bool,
    vent_diameter_in: Inch | None = None,
    vent_flue_area_in2: SquareInch | None = None,
    other_outlet_in: Inch | None = None,
    common_vent_diameter_in: Inch | None = None,
) -> Worked:
    if vent_shared:
        common = vent_flue_area_in2 or common_vent_diameter_in
        if other_outlet_in is None:
            size = () if common is not None else _SHARED_SIZES
            return Worked(None, says="the other appliance's outlet is needed", needs=("other_outlet_in", *size))
        draft_hood_outlet_in = min(draft_hood_outlet_in, other_outlet_in)
        vent_diameter_in = common_vent_diameter_in
    if vent_flue_area_in2 is not None:
        value = venting.flue_ratio(vent_flue_area_in2, draft_hood_outlet_in)
        return Worked(
            value,
            f"{plain(vent_flue_area_in2, FINE)} / (3.1416 x {plain(draft_hood_outlet_in, FINE)}^2 / 4) = {plain_up(value, 2)}",
        )
    if vent_shared and vent_diameter_in is None:
        return Worked(None, says="the common vent's size is needed", needs=_SHARED_SIZES)
    if vent_diameter_in is None:
        needs = ("vent_diameter_in", "vent_flue_area_in2")
        return Worked(None, says="the vent's diameter, or the chimney's flue area, is needed", needs=needs)
    value = venting.circle_ratio(vent_diameter_in, draft_hood_outlet_in)
    return Worked(value, f"({plain(vent_diameter_in, FINE)} / {plain(draft_hood_outlet_in, FINE)})^2 = {plain_up(value, 2)}")


@figure(
    "ft",
    "0.01",
    "alone: share x H; shared: k x connector diameter",
    "fuel gas code, vent connectors",
    when=NATURAL & CONNECTOR & ROOF,
    clauses=("venting.connector_length",),
    down=True,
)
def connector_length_allowed_ft(
    connector_kind: str, vent_shared: bool, vent_height_ft: Foot | None = None, connector_diameter_in: Inch | None = None,
    *, single_wall_share: Ratio, type_b_share: Ratio, shared_ft_per_in: Ratio,
) -> Worked:  # fmt: skip
    if vent_shared:
        if connector_diameter_in is None:
            return Worked(None, says="the connector's diameter is needed", needs=("connector_diameter_in",))
        value = venting.connector_length_by_diameter(connector_diameter_in, shared_ft_per_in)
        return Worked(
            value, f"{plain(shared_ft_per_in)} x {plain(connector_diameter_in, FINE)} = {plain_down(value, 2)} ft"
        )
    if vent_height_ft is None:
        return Worked(None, says="the vent's height is needed", needs=("vent_height_ft",))
    if vent_height_ft <= 0:
        return Worked(Decimal(0), "no height, so 0 ft")
    share = single_wall_share if connector_kind == "single_wall" else type_b_share
    value = venting.connector_length_by_height(vent_height_ft, share)
    return Worked(value, f"{plain(share)} x {plain(vent_height_ft, FINE)} = {plain_down(value, 2)} ft")


@figure(
    "in",
    "0.01",
    "slope x horizontal length",
    "fuel gas code, vent connectors",
    when=NATURAL & CONNECTOR,
    clauses=("venting.connector_slope",),
    up=True,
)
def connector_rise_needed_in(connector_length_ft: Foot, *, rise_in_per_ft: Ratio) -> Worked:
    value = venting.rise_needed(connector_length_ft, rise_in_per_ft)
    return Worked(value, f"{plain(rise_in_per_ft)} x {plain(connector_length_ft, FINE)} = {inches_up(value)} in")


@figure(
    "in",
    "0.01",
    "by roof pitch; near a wall: a height above all within reach",
    "fuel gas code, gas vent terminations",
    when=GAS_VENT_ROOF,
    clauses=("venting.end_above_roof",),
    up=True,
)
def vent_end_needed_in(
    roof_pitch_in_12: Inch, vent_diameter_in: Inch | NotHere, vent_to_wall_ft: Foot | NotHere,
    common_vent_diameter_in: Inch | NotHere, wall_rises_above_roof_exit_in: Inch | None = None,
    vent_to_ridge_ft: Foot | None = None, ridge_rises_above_roof_exit_in: Inch | None = None,
    *, heights: Table, widest: Inch, clear_of_wall: Foot, above: Inch, within: Foot,
) -> Worked:  # fmt: skip
    wall = vent_to_wall_ft if isinstance(vent_to_wall_ft, Decimal) else None
    # Of a shared vent it is the common one that goes through the roof.
    wide = next(one for one in (vent_diameter_in, common_vent_diameter_in) if isinstance(one, Decimal))
    needed = vent_ends.end_above_roof(
        heights.rows, pitch_in_12=roof_pitch_in_12, vent_diameter_in=wide, to_wall_ft=wall,
        wall_rise_in=wall_rises_above_roof_exit_in or Decimal(0), to_ridge_ft=vent_to_ridge_ft,
        ridge_rise_in=ridge_rises_above_roof_exit_in or Decimal(0),
        widest_in=widest, clear_of_wall_ft=clear_of_wall, above_in=above, within_ft=within,
    )  # fmt: skip
    if needed is None:
        return Worked(None, says=f"a pitch of {plain(roof_pitch_in_12)} in 12 is beyond the table")
    if needed.by == "pitch":
        return Worked(
            needed.inches,
            f"pitch {plain(roof_pitch_in_12)} in 12: {plain(needed.inches / 12)} ft = {eighths_up(needed.inches)} in",
        )
    needs: tuple[str, ...] = ()
    if wall is not None and wall <= within and wall_rises_above_roof_exit_in is None:
        needs = ("wall_rises_above_roof_exit_in",)
    elif vent_to_ridge_ft is not None and vent_to_ridge_ft <= within and ridge_rises_above_roof_exit_in is None:
        needs = ("ridge_rises_above_roof_exit_in",)
    elif vent_to_ridge_ft is None and needed.by == "slope":
        # Without a ridge ("not here") the roof does rise that far: then the value stands.
        needs = ("vent_to_ridge_ft",)
    return Worked(
        needed.inches,
        f"{plain(above)} in above the highest part within {plain(within)} ft = {eighths_up(needed.inches)} in above the roof exit",
        needs=needs,
    )


@figure("in", "0.01", "a height above the roof exit, and one above all within reach", "fuel gas code, chimneys and single-wall pipe", when=CHIMNEY_ROOF, clauses=(
    "venting.chimney_end",
), up=True)  # fmt: skip
def chimney_end_needed_in(
    vent_kind: str, vent_to_wall_ft: Foot | NotHere, wall_rises_above_roof_exit_in: Inch | None = None, roof_pitch_in_12: Inch | None = None,
    vent_to_ridge_ft: Foot | None = None, ridge_rises_above_roof_exit_in: Inch | None = None,
    *, chimney_above_roof: Inch, pipe_above_roof: Inch, above_near: Inch, within: Foot,
) -> Worked:  # fmt: skip
    wall = vent_to_wall_ft if isinstance(vent_to_wall_ft, Decimal) else None
    highest = vent_ends.highest_within(
        within, pitch_in_12=roof_pitch_in_12 or Decimal(0), to_wall_ft=wall, wall_rise_in=wall_rises_above_roof_exit_in or Decimal(0),
        to_ridge_ft=vent_to_ridge_ft, ridge_rise_in=ridge_rises_above_roof_exit_in or Decimal(0),
    )  # fmt: skip
    least = pipe_above_roof if vent_kind == "single_wall" else chimney_above_roof
    near = above_near + highest.inches
    ridge_near = vent_to_ridge_ft is not None and vent_to_ridge_ft <= within
    needs: tuple[str, ...] = ()
    if wall is not None and wall <= within and wall_rises_above_roof_exit_in is None:
        needs = ("wall_rises_above_roof_exit_in",)
    elif ridge_near and ridge_rises_above_roof_exit_in is None:
        needs = ("ridge_rises_above_roof_exit_in",)
    elif not ridge_near and roof_pitch_in_12 is None:
        needs = ("roof_pitch_in_12",)
    elif vent_to_ridge_ft is None and highest.by == "slope" and near > least:
        # Without a ridge ("not here") the roof does rise that far: then the value stands.
        needs = ("vent_to_ridge_ft",)
    needed = max(least, near)
    return Worked(
        needed,
        f"{plain(above_near)} in above the highest part within {plain(within)} ft, at least {eighths(least)} in: {eighths_up(needed)} in above the roof exit",
        needs=needs,
    )
