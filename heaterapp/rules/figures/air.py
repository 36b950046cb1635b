"""Figures of the air for burning: who takes it, what the book asks for, what is there."""

from __future__ import annotations

from decimal import Decimal

from ..calc import air
from ..calc.venting import circle_area
from ..figure import figure
from ..questions.air import BY_VOLUME, FAN, OPENINGS, ROOM_AIR
from ..report import Worked
from ..units import (
    BtuPerHour,
    Count,
    CubicFoot,
    CubicFootPerMinute,
    Inch,
    Ratio,
    SquareInch,
    plain,
    plain_down,
    plain_up,
)

_OUTSIDE = {
    "outdoors_direct": "direct", "outdoors_vertical_ducts": "direct", "outdoors_horizontal_ducts": "ducts",
    "one_outdoor_opening": "one", "two_openings": "direct", "two_horizontal_ducts": "ducts", "one_opening": "one",
}  # fmt: skip


@figure(
    "Btu/h", "1", "own input + inputs of others that take air from the room", "fuel gas code, air for burning", when=ROOM_AIR, up=True,
)  # fmt: skip
def air_counted_btuh(
    input_btuh: BtuPerHour, room_other_input_btuh: BtuPerHour, room_other_draft_kind: str | None = None
) -> Worked:
    if room_other_input_btuh == 0:
        return Worked(input_btuh, f"{plain_up(input_btuh, 0)} Btu/h, alone in the room")
    if room_other_draft_kind is None:
        said = "the draft of the other appliances is needed"
        return Worked(None, says=said, needs=("room_other_draft_kind",))
    if room_other_draft_kind == "direct_vent":
        return Worked(input_btuh, f"{plain_up(input_btuh, 0)} Btu/h; the others are sealed and left out")
    value = input_btuh + room_other_input_btuh
    return Worked(value, f"{plain(input_btuh)} + {plain(room_other_input_btuh)} = {plain_up(value, 0)} Btu/h")


@figure(
    "ft3",
    "0.1",
    "standard: k Q / 1000; leakage known: (a Q hood + b Q fan) / (1000 n)",
    "fuel gas code, indoor air",
    when=BY_VOLUME,
    clauses=("air.standard", "air.infiltration"),
    up=True,
)
def air_volume_needed_ft3(
    air_counted_btuh: BtuPerHour, input_btuh: BtuPerHour, draft_kind: str, room_other_draft_kind: str | None = None,
    air_changes_per_hour: Count | None = None,
    *, ft3_per_1000_btuh: Ratio, hood_factor: Ratio, fan_factor: Ratio, most_changes: Ratio, standard_from: Ratio,
) -> Worked:  # fmt: skip
    usual = air.standard_volume(air_counted_btuh, ft3_per_1000_btuh)
    worked = f"{plain(ft3_per_1000_btuh)} x {plain(air_counted_btuh)} / 1000 = {plain_up(usual)} cu ft"
    if air_changes_per_hour is None:
        return Worked(usual, worked)
    if air_changes_per_hour == 0:
        return Worked(None, says="no air leaks in: no room is large enough by itself")
    others = air_counted_btuh - input_btuh
    hood = (input_btuh if draft_kind == "draft_hood" else 0) + (
        others if room_other_draft_kind == "draft_hood" else 0
    )
    fan = air_counted_btuh - hood
    known = air.infiltration_volume(
        Decimal(hood), fan, air_changes_per_hour,
        hood_factor=hood_factor, fan_factor=fan_factor, most_changes=most_changes,
    )  # fmt: skip
    rate = min(air_changes_per_hour, most_changes)
    by_rate = (
        f"({plain(hood_factor)} x {plain(Decimal(hood))} + {plain(fan_factor)} x {plain(fan)}) / (1000 x {plain(rate)})"
        f" = {plain_up(known)} cu ft"
    )
    capped = f"No more than {plain(most_changes)} changes count." if rate < air_changes_per_hour else ""
    if air_changes_per_hour < standard_from or known <= usual:
        return Worked(known, by_rate, capped)
    return Worked(
        usual, worked, "The standard method asks for less than the known leakage does; either may be used."
    )


@figure(
    "ft3", "0.1", "room + rooms joined to it by the openings", "fuel gas code, indoor air", when=BY_VOLUME, down=True
)  # fmt: skip
def air_volume_there_ft3(
    room_volume_ft3: CubicFoot, air_source: str, joined_volume_ft3: CubicFoot | None = None
) -> Worked:
    if air_source == "room":
        return Worked(room_volume_ft3, f"{plain_down(room_volume_ft3)} cu ft")
    if joined_volume_ft3 is None:
        return Worked(None, says="the volume of the rooms joined is needed", needs=("joined_volume_ft3",))
    value = room_volume_ft3 + joined_volume_ft3
    return Worked(value, f"{plain(room_volume_ft3)} + {plain(joined_volume_ft3)} = {plain_down(value)} cu ft")


@figure(
    "in2",
    "0.1",
    "each opening, free: Q / n; between rooms not under a least area; combined: the share the rooms do not give",
    "fuel gas code, openings for air",
    when=OPENINGS,
    clauses=("air.indoor_openings", "air.other_storey", "air.outdoor_openings", "air.one_opening"),
    up=True,
)
def air_opening_needed_in2(
    air_counted_btuh: BtuPerHour, air_source: str, air_outdoor_part: str | None = None,
    air_volume_needed_ft3: Worked | None = None, air_volume_there_ft3: Worked | None = None,
    room_other_input_btuh: BtuPerHour | None = None, vent_connectors_area_in2: SquareInch | None = None,
    connector_diameter_in: Inch | None = None, connector_kind: str | None = None, vent_diameter_in: Inch | None = None,
    draft_kind: str | None = None, common_vent_diameter_in: Inch | None = None,
    *, indoor_btuh_per_in2: BtuPerHour, indoor_least: SquareInch, storey_btuh_per_in2: BtuPerHour,
    direct_btuh_per_in2: BtuPerHour, ducts_btuh_per_in2: BtuPerHour, one_btuh_per_in2: BtuPerHour,
) -> Worked:  # fmt: skip
    q = air_counted_btuh
    if air_source == "indoor_openings":
        value = air.opening_area(q, indoor_btuh_per_in2, indoor_least)
        return Worked(
            value,
            f"{plain(q)} / {plain(indoor_btuh_per_in2)}, not under {plain(indoor_least)} sq in: {plain_up(value)} sq in",
        )
    if air_source == "other_storey":
        value = air.opening_area(q, storey_btuh_per_in2)
        return Worked(
            value, f"{plain(q)} / {plain(storey_btuh_per_in2)} = {plain_up(value)} sq in, all openings together"
        )
    way = _OUTSIDE[air_outdoor_part or "" if air_source == "combination" else air_source]
    per = {"direct": direct_btuh_per_in2, "ducts": ducts_btuh_per_in2, "one": one_btuh_per_in2}[way]
    full, worked = air.opening_area(q, per), f"{plain(q)} / {plain(per)}"
    if way == "one":
        # a vent that leaves the heater without a connector is in the room what a connector is
        straight = connector_kind == "none" or draft_kind == "power_vent"
        own = (vent_diameter_in or common_vent_diameter_in) if straight else connector_diameter_in
        pipes = _connectors(room_other_input_btuh, vent_connectors_area_in2, own)
        if pipes is None:
            alone = ("vent_diameter_in", "common_vent_diameter_in") if straight else ("connector_diameter_in",)
            asked = alone if room_other_input_btuh == 0 else ("vent_connectors_area_in2",)
            return Worked(None, says="the area of the vent connectors in the room is needed", needs=asked)
        full, worked = max(full, pipes), f"{worked}, not under the connectors' {plain(pipes, 2)} sq in"
    if air_source != "combination":
        return Worked(full, f"{worked}: {plain_up(full)} sq in")
    needed = air_volume_needed_ft3.value if air_volume_needed_ft3 else None
    there = air_volume_there_ft3.value if air_volume_there_ft3 else None
    if not isinstance(there, Decimal):
        return Worked(
            None, says="the rooms' volume is needed", needs=("room_volume_ft3", "joined_volume_ft3")
        )
    if not isinstance(needed, Decimal):
        return Worked(
            full, f"{worked}: {plain_up(full)} sq in", "The rooms give none: the whole opening is needed."
        )
    share = air.outdoor_share(there, needed)
    value = full * share
    if not share:
        return Worked(value, f"the rooms give it all, so {plain_up(value)} sq in")
    return Worked(value, f"(1 - {plain(there)} / {plain(needed)}) x ({worked}) = {plain_up(value)} sq in")


def _connectors(
    others_btuh: Decimal | None, told_in2: Decimal | None, own_diameter_in: Decimal | None
) -> Decimal | None:
    if told_in2 is not None:
        return told_in2
    return circle_area(own_diameter_in) if others_btuh == 0 and own_diameter_in is not None else None


@figure(
    "in2",
    "0.1",
    "smallest opening x share that its louver leaves free",
    "fuel gas code, louvers",
    when=OPENINGS,
    clauses=("air.louvers",),
    down=True,
)
def air_opening_there_in2(
    air_louver: str, air_opening_high_in2: SquareInch | None = None, air_opening_low_in2: SquareInch | None = None,
    air_single_opening_in2: SquareInch | None = None,
    *, metal_free: Ratio, wood_free: Ratio,
) -> Worked:  # fmt: skip
    pair = {"air_opening_high_in2": air_opening_high_in2, "air_opening_low_in2": air_opening_low_in2}
    if air_single_opening_in2 is not None:
        gross = air_single_opening_in2
    elif air_opening_high_in2 is not None and air_opening_low_in2 is not None:
        gross = min(air_opening_high_in2, air_opening_low_in2)
    else:
        needs = tuple(name for name, value in pair.items() if value is None)
        return Worked(None, says="the openings' areas are needed", needs=(*needs, "air_single_opening_in2"))
    share = {"metal": metal_free, "wood": wood_free}.get(air_louver)
    if share is None:
        return Worked(gross, f"{plain_down(gross)} sq in free")
    value = air.free_area(gross, share)
    return Worked(value, f"{plain(gross)} x {plain(share)} = {plain_down(value)} sq in free")


@figure(
    "cfm",
    "0.1",
    "k Q / 1000",
    "fuel gas code, mechanical air",
    when=FAN,
    clauses=("air.mechanical",),
    up=True,
)
def air_mechanical_needed_cfm(
    air_counted_btuh: BtuPerHour, *, cfm_per_1000_btuh: CubicFootPerMinute
) -> Worked:
    value = air.fan_air(air_counted_btuh, cfm_per_1000_btuh)
    return Worked(
        value, f"{plain(cfm_per_1000_btuh)} x {plain(air_counted_btuh)} / 1000 = {plain_up(value)} cfm"
    )
