"""Figures of the vent's capacity: what the printed tables allow, one heater alone or two on one vent."""

from __future__ import annotations

from dataclasses import dataclass
from decimal import Decimal
from functools import lru_cache

from ..book import Table
from ..calc import vent_tables, venting
from ..calc.vent_tables import Grid, Read
from ..figure import figure
from ..questions.vent import BY_TABLE, SHARED_BY_TABLE
from ..report import Worked
from ..units import Count, Foot, Inch, Ratio, plain, plain_down, plain_up
from ..when import is_

THOUSAND = 1000
FINEST = Decimal("1e-6")
"""Between cells a share such as 2/3 has no end: rounded here [Btu/h], a limit that is just met stays met."""
FAN, OTHER_FAN = is_("draft_kind", "fan_assisted"), is_("other_vent_kind", "fan_assisted")
COLUMNS = {
    "nat_max": "NAT MAX", "fan_max": "FAN MAX", "fan_min": "FAN MIN", "nat_nat": "NAT+NAT", "fan_nat": "FAN+NAT", "fan_fan": "FAN+FAN",
}  # fmt: skip
"""The columns of the tables as they are printed."""
_SOURCE = "fuel gas code, vent sizing tables"


@lru_cache(maxsize=16)
def _grid(table: Table) -> Grid:
    return vent_tables.grid_of(table.rows, table.disputed)


@dataclass(frozen=True, slots=True)
class _Kept:
    """A share of the printed value that stays, and why, for the working."""

    share: Decimal
    why: str


def _cells(read: Read) -> str:
    """The printed cells that a value rests on, those of a height together."""
    return " / ".join(", ".join("NA" if one is None else plain(one) for one in beside) for beside in read.cells)


def _worked(table: Table, column: str, size: str, read: Read, kept: tuple[_Kept, ...], *, need: bool = False) -> Worked:
    """The figure of a reading in Btu/h, the shares that stay multiplied in; a need is told rounded up."""
    if read.value is None:
        return Worked(None, says=f"{table.title}: {read.why}")
    cuts = [one for one in kept if one.share != 1]
    value, doubt = read.value * THOUSAND, read.doubt * THOUSAND
    for one in cuts:
        value, doubt = value * one.share, doubt * one.share
    value = value.quantize(FINEST)
    parts = "".join(f" x {plain(one.share)} ({one.why})" for one in cuts)
    place = f"IFGC {table.cited_as}, {COLUMNS[column]}, {size}, {read.method} ({_cells(read)})"
    worked = f"{place}: {plain(read.value)} thousand{parts} = {(plain_up if need else plain_down)(value, 0)} Btu/h"
    said = f"Not permitted: {read.why}." if read.why else ""
    if doubt and not said:
        said = f"It rests on a printed cell that is not sure: within {plain_up(doubt, 0)} Btu/h of it nothing is decided."
    return Worked(value, worked, said, doubt=doubt, barred=bool(read.why))


def _elbows(
    elbows_90: Decimal | None, elbows_45: Decimal | None, free: Decimal, loss_90: Decimal, loss_45: Decimal
) -> _Kept:
    sharp, easy = elbows_90 or Decimal(0), elbows_45 or Decimal(0)
    loss = vent_tables.elbow_loss(sharp, easy, free=free, loss_90=loss_90, loss_45=loss_45)
    return _Kept(1 - loss, f"{plain(sharp)} elbows of 90, {plain(easy)} of 45 degrees")


def _pipes(vent: Decimal, connector: Decimal | None, connector_kind: str) -> Decimal:
    """The smaller of vent and connector: the maximum goes by it."""
    return vent if connector is None or connector_kind == "none" else min(vent, connector)


@figure("Btu/h", "1", "cell, or between cells, x what elbows, liner and lengths leave", _SOURCE, when=BY_TABLE, clauses=(
    "vent_sizing.single", "vent_sizing.liner", "vent_sizing.reduced", "vent_sizing.shared", "venting.connector_length",
), down=True)  # fmt: skip
def vent_capacity_btuh(
    draft_kind: str, vent_height_ft: Foot, connector_kind: str, vent_shared: bool, draft_hood_outlet_in: Inch, vent_elbows_90: Count,
    vent_elbows_45: Count, vent_lateral_ft: Foot | None = None, vent_diameter_in: Inch | None = None,
    connector_diameter_in: Inch | None = None, vent_corrugated_liner: bool | None = None, other_connector_kind: str | None = None,
    vent_above_draft_hood_ft: Foot | None = None, connector_vertical_rise_ft: Foot | None = None, connector_length_ft: Foot | None = None,
    common_vent_elbows_90: Count | None = None, common_vent_elbows_45: Count | None = None,
    *, type_b_table: Table, single_wall_table: Table, free_elbows: Count, loss_90: Ratio, loss_45: Ratio, liner_keeps: Ratio,
    reduced_keeps: Ratio, connector_type_b: Table, connector_single_wall: Table, longest_rise: Foot, over_length_loss: Ratio,
    shared_ft_per_in: Ratio,
) -> Worked:  # fmt: skip
    column = "nat_max" if draft_kind == "draft_hood" else "fan_max"
    liner = _Kept(liner_keeps if vent_corrugated_liner else Decimal(1), "corrugated liner")
    if vent_shared:
        lacking = _lacking(
            connector_diameter_in=connector_diameter_in, connector_vertical_rise_ft=connector_vertical_rise_ft,
            connector_length_ft=connector_length_ft, other_connector_kind=other_connector_kind,
        )  # fmt: skip
        if lacking or connector_diameter_in is None or connector_vertical_rise_ft is None or connector_length_ft is None:
            return Worked(None, says="the connector's size, rise and length are needed", needs=lacking)
        table = connector_single_wall if "single_wall" in (connector_kind, other_connector_kind) else connector_type_b
        own_90 = max(Decimal(0), vent_elbows_90 - (common_vent_elbows_90 or 0))
        own_45 = max(Decimal(0), vent_elbows_45 - (common_vent_elbows_45 or 0))
        return _connector(
            table, column, vent_height_ft if vent_above_draft_hood_ft is None else vent_above_draft_hood_ft, connector_diameter_in, connector_vertical_rise_ft,
            connector_length_ft, longest_rise, over_length_loss, shared_ft_per_in,
            (_elbows(own_90, own_45, free_elbows, loss_90, loss_45),),
        )  # fmt: skip
    if vent_lateral_ft is None or vent_diameter_in is None:
        lacking = _lacking(vent_lateral_ft=vent_lateral_ft, vent_diameter_in=vent_diameter_in)
        return Worked(None, says="the vent's diameter and its offset are needed", needs=lacking)
    table = single_wall_table if connector_kind == "single_wall" else type_b_table
    pipe = _pipes(vent_diameter_in, connector_diameter_in, connector_kind)
    read = vent_tables.read(
        _grid(table), column, height_ft=vent_height_ft, diameter_in=pipe, second_ft=vent_lateral_ft
    )
    squeezed = draft_kind != "draft_hood" and pipe < draft_hood_outlet_in
    reduced = _Kept(reduced_keeps if squeezed else Decimal(1), "pipe smaller than the outlet")
    elbows = _elbows(vent_elbows_90, vent_elbows_45, free_elbows, loss_90, loss_45)
    size = f"{plain(pipe)} in" if pipe == vent_diameter_in else f"{plain(pipe)} in, the connector being smaller"
    return _worked(table, column, size, read, (elbows, liner, reduced))


def _lacking(**given: object) -> tuple[str, ...]:
    return tuple(name for name, value in given.items() if value is None)


def _connector(
    table: Table, column: str, height: Decimal, diameter: Decimal, rise: Decimal, length: Decimal, longest_rise: Decimal,
    over_length_loss: Decimal, ft_per_in: Decimal, kept: tuple[_Kept, ...],
) -> Worked:  # fmt: skip
    """A connector to a shared vent. A rise beyond the tables is read as their longest, which carries less."""
    allowed = venting.connector_length_by_diameter(diameter, ft_per_in)
    over = vent_tables.over_length(length, allowed)
    keep = max(Decimal(0), 1 - over_length_loss * over)
    long = _Kept(keep, f"{plain(length)} ft of connector, {plain(allowed)} ft without loss")
    read = vent_tables.read(
        _grid(table), column, height_ft=height, diameter_in=diameter, second_ft=min(rise, longest_rise)
    )
    return _worked(table, column, f"{plain(diameter)} in", read, (*kept, long))


@figure("Btu/h", "1", "the least input of the table, by the vent's own size", _SOURCE, when=BY_TABLE & FAN, clauses=(
    "vent_sizing.single", "vent_sizing.shared", "venting.connector_length",
), up=True)  # fmt: skip
def vent_least_input_btuh(
    vent_height_ft: Foot, connector_kind: str, vent_shared: bool, vent_lateral_ft: Foot | None = None,
    vent_diameter_in: Inch | None = None, connector_diameter_in: Inch | None = None, other_connector_kind: str | None = None,
    vent_above_draft_hood_ft: Foot | None = None, connector_vertical_rise_ft: Foot | None = None, connector_length_ft: Foot | None = None,
    *, type_b_table: Table, single_wall_table: Table, connector_type_b: Table, connector_single_wall: Table, longest_rise: Foot,
    shared_ft_per_in: Ratio,
) -> Worked:  # fmt: skip
    pipe = connector_diameter_in if vent_shared else vent_diameter_in
    if pipe is None:
        return Worked(None, says="the vent's size is needed", needs=("connector_diameter_in" if vent_shared else "vent_diameter_in",))
    height = vent_above_draft_hood_ft if vent_shared and vent_above_draft_hood_ft is not None else vent_height_ft
    long = False
    if vent_shared and connector_length_ft is not None:
        long = connector_length_ft > venting.connector_length_by_diameter(pipe, shared_ft_per_in)
    if vent_shared and not long:
        if connector_vertical_rise_ft is None:
            return Worked(None, says="the connector's rise is needed", needs=("connector_vertical_rise_ft",))
        if connector_vertical_rise_ft > longest_rise:
            return Worked(None, says=f"a rise over {plain(longest_rise)} ft has no least input in the table")
        table = connector_single_wall if "single_wall" in (connector_kind, other_connector_kind) else connector_type_b
        second = connector_vertical_rise_ft
    else:
        if vent_lateral_ft is None:
            return Worked(None, says="the vent's offset is needed", needs=("vent_lateral_ft",))
        table = single_wall_table if connector_kind == "single_wall" else type_b_table
        second = vent_lateral_ft
    read = vent_tables.read(_grid(table), "fan_min", height_ft=height, diameter_in=pipe, second_ft=second)
    return _worked(table, "fan_min", f"{plain(pipe)} in", read, (), need=True)


@figure("Btu/h", "1", "the other appliance's connector: cell x what its length leaves", _SOURCE, when=SHARED_BY_TABLE, clauses=(
    "vent_sizing.shared", "venting.connector_length",
), down=True)  # fmt: skip
def other_connector_capacity_btuh(
    other_vent_kind: str, connector_kind: str, other_connector_kind: str, vent_above_draft_hood_ft: Foot,
    other_connector_diameter_in: Inch, other_connector_vertical_rise_ft: Foot, other_connector_length_ft: Foot,
    *, connector_type_b: Table, connector_single_wall: Table, longest_rise: Foot, over_length_loss: Ratio, shared_ft_per_in: Ratio,
) -> Worked:  # fmt: skip
    table = connector_single_wall if "single_wall" in (connector_kind, other_connector_kind) else connector_type_b
    column = "nat_max" if other_vent_kind == "draft_hood" else "fan_max"
    return _connector(
        table, column, vent_above_draft_hood_ft, other_connector_diameter_in, other_connector_vertical_rise_ft,
        other_connector_length_ft, longest_rise, over_length_loss, shared_ft_per_in, (),
    )  # fmt: skip


@figure("Btu/h", "1", "the other appliance's connector: the least input of the table", _SOURCE, when=SHARED_BY_TABLE & OTHER_FAN, clauses=(
    "vent_sizing.shared", "vent_sizing.single", "venting.connector_length",
), up=True)  # fmt: skip
def other_least_input_btuh(
    connector_kind: str, other_connector_kind: str, vent_above_draft_hood_ft: Foot,
    other_connector_diameter_in: Inch, other_connector_vertical_rise_ft: Foot, other_connector_length_ft: Foot,
    *, type_b_table: Table, single_wall_table: Table, connector_type_b: Table, connector_single_wall: Table, longest_rise: Foot,
    shared_ft_per_in: Ratio,
) -> Worked:  # fmt: skip
    single = "single_wall" in (connector_kind, other_connector_kind)
    pipe, second = other_connector_diameter_in, other_connector_vertical_rise_ft
    table = connector_single_wall if single else connector_type_b
    if other_connector_length_ft > venting.connector_length_by_diameter(pipe, shared_ft_per_in):
        # as if it stood alone: by its own connector's wall, not the heater's
        table = single_wall_table if other_connector_kind == "single_wall" else type_b_table
        second = other_connector_length_ft
    elif second > longest_rise:
        return Worked(None, says=f"a rise over {plain(longest_rise)} ft has no least input in the table")
    read = vent_tables.read(
        _grid(table), "fan_min", height_ft=vent_above_draft_hood_ft, diameter_in=pipe, second_ft=second
    )
    return _worked(table, "fan_min", f"{plain(pipe)} in", read, (), need=True)


@figure("Btu/h", "1", "common vent: cell x what its elbows, its liner and a manifold leave", _SOURCE, when=SHARED_BY_TABLE, clauses=(
    "vent_sizing.single", "vent_sizing.liner", "vent_sizing.shared",
), down=True)  # fmt: skip
def common_vent_capacity_btuh(
    draft_kind: str, other_vent_kind: str, connector_kind: str, other_connector_kind: str, vent_above_draft_hood_ft: Foot,
    common_vent_diameter_in: Inch, common_vent_elbows_90: Count, common_vent_elbows_45: Count, connectors_manifolded: bool,
    common_vent_offset_ft: Foot, vent_corrugated_liner: bool | None = None,
    *, common_type_b: Table, common_single_wall: Table, loss_90: Ratio, loss_45: Ratio, liner_keeps: Ratio, manifold_keeps: Ratio,
    offset_ft_per_in: Ratio,
) -> Worked:  # fmt: skip
    allowed = venting.connector_length_by_diameter(common_vent_diameter_in, offset_ft_per_in)
    if common_vent_offset_ft > allowed:
        said = f"an offset of {plain(common_vent_offset_ft)} ft is longer than the {plain_down(allowed, 3)} ft the tables allow"
        return Worked(None, says=said)
    table = common_single_wall if "single_wall" in (connector_kind, other_connector_kind) else common_type_b
    fans = [draft_kind, other_vent_kind].count("fan_assisted")
    column = ("nat_nat", "fan_nat", "fan_fan")[fans]
    read = vent_tables.read(
        _grid(table), column, height_ft=vent_above_draft_hood_ft, diameter_in=common_vent_diameter_in
    )
    kept = (
        _elbows(common_vent_elbows_90, common_vent_elbows_45, Decimal(0), loss_90, loss_45),
        _Kept(liner_keeps if vent_corrugated_liner else Decimal(1), "corrugated liner"),
        _Kept(manifold_keeps if connectors_manifolded else Decimal(1), "connectors joined before the vertical vent"),
    )
    return _worked(table, column, f"{plain(common_vent_diameter_in)} in", read, kept)
