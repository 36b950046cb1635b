"""Where a vent may end and how near to it anything may be."""

from __future__ import annotations

from collections.abc import Iterable
from decimal import Decimal
from typing import NamedTuple

from .exact import exactly, not_negative, positive
from .printed import Row, row_up_to, row_where


class EndHeight(NamedTuple):
    """Height a vent's end needs above the roof it leaves, and which rule gave it."""

    inches: Decimal
    by: str


def height_by_pitch(rows: Iterable[Row], pitch_in_12: Decimal) -> Decimal | None:
    """Height of a vent's end above the roof by the roof's pitch.

    rows         `roof_pitch`: pitch_up_to_in_12, height_ft, pitches rising
    pitch_in_12  rise for 12 of run                                        [in]  0 or more
    returns      height above the roof on the high side; None beyond the table  [ft]
    raises       ValueError for a pitch under 0

    A pitch exactly on a limit belongs to the lower row.

    Source: the table handed in. Checked against: five pitches; exact.

    >>> height_by_pitch([{"pitch_up_to_in_12": 6, "height_ft": 1}], Decimal(6))
    Decimal('1')
    """
    not_negative(pitch_in_12=pitch_in_12)
    row = row_up_to(rows, "pitch_up_to_in_12", pitch_in_12)
    return None if row is None else Decimal(row["height_ft"])


@exactly
def highest_within(
    within_ft: Decimal,
    *,
    pitch_in_12: Decimal,
    to_wall_ft: Decimal | None = None,
    wall_rise_in: Decimal = Decimal(0),
    to_ridge_ft: Decimal | None = None,
    ridge_rise_in: Decimal = Decimal(0),
) -> EndHeight:
    """How far the highest part of the building near a vent rises above the vent's exit.

        the wall; the ridge where it is that near, else the slope over the whole reach

    within_ft      how near is near                                        [ft]
    pitch_in_12    rise of the roof for 12 of run                          [in]  0 or more
    to_wall_ft     nearest wall or the like; None where there is none      [ft]
    wall_rise_in   that wall's top above the vent's exit                   [in]
    to_ridge_ft    ridge, level; None where not measured                   [ft]
    ridge_rise_in  ridge above the vent's exit                             [in]
    returns        rise, 0 or more, and which part: "wall", "ridge", "slope", or
                   "roof" where nothing near stands higher                 [in]

    Source: our reading that the roof itself is a part of the building. Checked against: hand.

    >>> highest_within(Decimal(10), pitch_in_12=Decimal(12))
    EndHeight(inches=Decimal('120'), by='slope')
    """
    not_negative(pitch_in_12=pitch_in_12)
    rises = {"roof": Decimal(0)}
    if to_wall_ft is not None and to_wall_ft <= within_ft:
        rises["wall"] = wall_rise_in
    if to_ridge_ft is not None and to_ridge_ft <= within_ft:
        rises["ridge"] = ridge_rise_in
    else:
        rises["slope"] = pitch_in_12 * within_ft
    decides = max(rises, key=lambda one: rises[one])
    return EndHeight(rises[decides], decides)


@exactly
def end_above_roof(
    rows: Iterable[Row],
    *,
    pitch_in_12: Decimal,
    vent_diameter_in: Decimal,
    to_wall_ft: Decimal | None = None,
    wall_rise_in: Decimal = Decimal(0),
    to_ridge_ft: Decimal | None = None,
    ridge_rise_in: Decimal = Decimal(0),
    widest_in: Decimal,
    clear_of_wall_ft: Decimal,
    above_in: Decimal,
    within_ft: Decimal,
) -> EndHeight | None:
    """Height a gas vent with a listed cap needs above the roof where it leaves it.

        vent not over 12 in. and 8 ft or more from a wall: by pitch
        otherwise: 24 in. above the roof there and above all within 10 ft

    rows              as for `height_by_pitch`
    pitch_in_12       rise of the roof for 12 of run                       [in]  0 or more
    vent_diameter_in  cap and vent                                         [in]  more than 0
    to_wall_ft        nearest wall or the like; None where there is none   [ft]
    wall_rise_in      that wall's top above the vent's exit                [in]
    to_ridge_ft       ridge, level; None where not measured                [ft]
    ridge_rise_in     ridge above the vent's exit                          [in]
    widest_in, clear_of_wall_ft, above_in, within_ft    12, 8, 24, 10
    returns           height, unrounded, and what decides it: "pitch", "wall", "ridge",
                      "slope", or "roof" where nothing near stands higher; None where
                      the pitch is beyond the table                        [in]

    In the second case the roof itself is a part of the building within 10 ft: it rises
    to the ridge where the ridge is that near, else by the pitch over the whole 10 ft.

    Leaves out local rules that ask 3 ft, chimneys, the draft hood and air inlets.

    Source: 2012 UPC 509.6.2 and its table; New York City Fuel Gas Code 2022, 503.6.4;
    that the roof's own slope counts is our reading. Checked against: hand.

    >>> end_above_roof([{"pitch_up_to_in_12": 6, "height_ft": 1}], pitch_in_12=Decimal(6),
    ...     vent_diameter_in=Decimal(4), widest_in=Decimal(12), clear_of_wall_ft=Decimal(8),
    ...     above_in=Decimal(24), within_ft=Decimal(10))
    EndHeight(inches=Decimal('12'), by='pitch')
    """
    not_negative(pitch_in_12=pitch_in_12)
    positive(vent_diameter_in=vent_diameter_in)
    if vent_diameter_in <= widest_in and (to_wall_ft is None or to_wall_ft >= clear_of_wall_ft):
        by_pitch = height_by_pitch(rows, pitch_in_12)
        return None if by_pitch is None else EndHeight(by_pitch * 12, "pitch")
    highest = highest_within(
        within_ft, pitch_in_12=pitch_in_12, to_wall_ft=to_wall_ft, wall_rise_in=wall_rise_in,
        to_ridge_ft=to_ridge_ft, ridge_rise_in=ridge_rise_in,
    )  # fmt: skip
    return EndHeight(above_in + highest.inches, highest.by)


def direct_vent_distance(rows: Iterable[Row], input_btuh: Decimal) -> Decimal | None:
    """Least distance of a direct vent's end from any opening into the building.

    rows        `direct_vent_distances`: input_up_to_btuh (absent where there is no
                upper limit), distance_in, inputs rising
    input_btuh  rated input                                [Btu/h]  0 or more
    returns     distance; None beyond the table            [in]

    An input exactly on a limit belongs to the lower row.

    Source: the table handed in. Checked against: 75,000 and 9,000 Btu/h; exact.

    >>> rows = [{"input_up_to_btuh": 10000, "distance_in": 6}, {"distance_in": 12}]
    >>> direct_vent_distance(rows, Decimal(75000))
    Decimal('12')
    """
    not_negative(input_btuh=input_btuh)
    row = row_up_to(rows, "input_up_to_btuh", input_btuh)
    return None if row is None else Decimal(row["distance_in"])


def shielded_clearance(
    rows: Iterable[Row], shield: str, required_in: Decimal, *, above: bool
) -> Decimal | None:
    """Clearance left by a shield of the reduction table.

    rows         `clearance_reduction`: shield, required_in, above_in, side_in
    shield       a kind of the table
    required_in  clearance without a shield; a column of the table       [in]
    above        True above the part or for a level connector; False at sides and for
                 an upright one
    returns      clearance with the shield; None where the table has no value  [in]

    Nothing is read between columns.

    Source: the table handed in. Checked against: its rows.

    >>> rows = [{"shield": "masonry", "required_in": 18, "side_in": 12}]
    >>> shielded_clearance(rows, "masonry", Decimal(18), above=False)
    Decimal('12')
    """
    row = row_where(rows, shield=shield, required_in=required_in)
    cell = None if row is None else row.get("above_in" if above else "side_in")
    return None if cell is None else Decimal(cell)
