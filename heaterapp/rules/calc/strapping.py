"""Where straps may sit on a tank: thirds of the tank's own height, clear of its controls.

Heights come in and go out as a tape reads them from the floor to the middle of a strap.
"""

from __future__ import annotations

from collections.abc import Iterable
from decimal import Decimal
from typing import NamedTuple

from .exact import exactly, not_negative, positive
from .printed import Row, row_up_to


class Band(NamedTuple):
    """Two heights from the floor, both of them allowed."""

    low_in: Decimal
    high_in: Decimal

    def holds(self, height_in: Decimal) -> bool:
        return self.low_in <= height_in <= self.high_in


class Clearance(NamedTuple):
    """Free height between a strap's edge and the controls; under 0 where they overlap."""

    side: str
    inches: Decimal


def _tank(tank_base_in: Decimal, tank_height_in: Decimal) -> None:
    not_negative(tank_base_in=tank_base_in)
    positive(tank_height_in=tank_height_in)


@exactly
def lower_third(tank_base_in: Decimal, tank_height_in: Decimal) -> Band:
    """Heights of the lower third of a tank.

        B ... B + H / 3

    tank_base_in    bottom of the jacket above the floor: its stand     [in]  0 or more
    tank_height_in  jacket alone, without hood, nipples and stand       [in]  more than 0
    returns         lowest and highest middle of a strap, unrounded     [in]
    raises          ValueError outside those ranges

    The third is of the heater, not of the distance from floor to top. Leaves out
    which part of a heat pump's top can take a strap.

    Source: 2013 California Plumbing Code 507.2 (on the 2012 UPC) and Utah Code
    15A-3-305, which both speak of the appliance's own vertical dimension; that the
    middle of the strap decides is our reading. Checked against: five placements
    worked by hand; exact.

    >>> lower_third(Decimal(18), Decimal(54))
    Band(low_in=Decimal('18'), high_in=Decimal('36'))
    """
    _tank(tank_base_in, tank_height_in)
    return Band(tank_base_in, tank_base_in + tank_height_in / 3)


@exactly
def upper_third(tank_base_in: Decimal, tank_height_in: Decimal) -> Band:
    """Heights of the upper third of a tank.

        B + 2 H / 3 ... B + H

    Arguments, result, limits, source and check as for `lower_third`.

    >>> upper_third(Decimal(18), Decimal(54))
    Band(low_in=Decimal('54'), high_in=Decimal('72'))
    """
    _tank(tank_base_in, tank_height_in)
    return Band(tank_base_in + 2 * tank_height_in / 3, tank_base_in + tank_height_in)


@exactly
def edge_crosses(band: Band, strap_height_in: Decimal, strap_width_in: Decimal) -> bool:
    """Whether a strap whose middle is in a band reaches over one of its limits.

        y - w/2 < low  or  y + w/2 > high

    band             heights allowed for the middle  [in]
    strap_height_in  middle of the strap             [in]
    strap_width_in   width of the strap              [in]  0 or more
    returns          True only for a strap whose middle is in the band

    Source: our own note; the middle decides. Checked against: hand.

    >>> edge_crosses(Band(Decimal(0), Decimal(18)), Decimal("17.75"), Decimal(1))
    True
    """
    not_negative(strap_width_in=strap_width_in)
    half = strap_width_in / 2
    over = strap_height_in - half < band.low_in or strap_height_in + half > band.high_in
    return band.holds(strap_height_in) and over


@exactly
def controls_clearance(
    strap_height_in: Decimal,
    strap_width_in: Decimal,
    controls_top_in: Decimal,
    controls_bottom_in: Decimal | None = None,
    *,
    above_only: bool,
) -> Clearance:
    """Free height between the lower strap and the controls, edge to edge.

        above: c = (y - w/2) - top        below: c = bottom - (y + w/2)

    strap_height_in     middle of the lower strap, from the floor              [in]
    strap_width_in      width of the strap                                     [in]  0 or more
    controls_top_in     top of the gas valve or thermostat cover, from floor   [in]
    controls_bottom_in  its bottom; None where it was not measured             [in]
    above_only          True for texts that say "above the controls"; False for
                        those that say "from", where either side counts
    returns             the side that counts, "above" or "below", and the free
                        height, unrounded; under 0 where strap and controls meet [in]

    Leaves out an upper thermostat cover: the rule is written for the lower strap.

    Source: "above" in 2013 California Plumbing Code 507.2; "from" in the UPC 507.2
    a Washington handout reprints (yournwinspector.com, new requirements for water
    heaters). Edge to edge is our reading. Checked against: five placements worked
    by hand; exact.

    >>> controls_clearance(Decimal(17), Decimal(1), Decimal(12), above_only=True)
    Clearance(side='above', inches=Decimal('4.5'))
    """
    not_negative(strap_width_in=strap_width_in)
    half = strap_width_in / 2
    above = Clearance("above", strap_height_in - half - controls_top_in)
    if above_only or controls_bottom_in is None:
        return above
    below = Clearance("below", controls_bottom_in - (strap_height_in + half))
    return below if below.inches > above.inches else above


@exactly
def lower_strap_windows(
    tank_base_in: Decimal,
    tank_height_in: Decimal,
    strap_width_in: Decimal,
    controls_top_in: Decimal | None,
    controls_bottom_in: Decimal | None = None,
    *,
    clearance_in: Decimal,
    above_only: bool,
) -> tuple[Band, ...]:
    """Heights for the lower strap that satisfy the third and the controls together.

        above: top + c + w/2 ... B + H/3        below: B ... bottom - c - w/2

    tank_base_in, tank_height_in  as for `lower_third`                       [in]
    strap_width_in      width of the strap                                   [in]  0 or more
    controls_top_in     from the floor; None where nothing must be kept clear [in]
    controls_bottom_in  from the floor; None where it was not measured       [in]
    clearance_in        free height the text asks for                        [in]  0 or more
    above_only          as for `controls_clearance`
    returns             none, one or two bands from the floor, unrounded, the one
                        above the controls first                             [in]

    No band means that no height meets both clauses on this tank: the texts give no
    tie-break.

    Source: the two clauses named at `lower_third` and `controls_clearance`. Checked
    against: the shortest tanks of `shortest_tank`; exact.

    >>> lower_strap_windows(Decimal(0), Decimal(54), Decimal(1), Decimal(12),
    ...                     clearance_in=Decimal(4), above_only=True)
    (Band(low_in=Decimal('16.5'), high_in=Decimal('18')),)
    """
    third = lower_third(tank_base_in, tank_height_in)
    if controls_top_in is None:
        return (third,)
    not_negative(clearance_in=clearance_in, strap_width_in=strap_width_in)
    keep = clearance_in + strap_width_in / 2
    bands = [Band(max(third.low_in, controls_top_in + keep), third.high_in)]
    if not above_only and controls_bottom_in is not None:
        bands.append(Band(third.low_in, min(third.high_in, controls_bottom_in - keep)))
    return tuple(band for band in bands if band.low_in <= band.high_in)


@exactly
def shortest_tank(
    controls_top_above_base_in: Decimal, strap_width_in: Decimal, clearance_in: Decimal
) -> Decimal:
    """Shortest tank on which a strap above the controls can also be in the lower third.

        H = 3 (top + c + w/2)

    controls_top_above_base_in  from the bottom of the jacket   [in]  0 or more
    strap_width_in              width of the strap              [in]  0 or more
    clearance_in                free height the text asks for   [in]  0 or more
    returns                     jacket height, unrounded        [in]

    Source: the two clauses named at `lower_third` and `controls_clearance`, taken
    together. Checked against: `lower_strap_windows`, which is empty just below it.

    >>> shortest_tank(Decimal(12), Decimal(1), Decimal(4))
    Decimal('49.5')
    """
    not_negative(
        controls_top_above_base_in=controls_top_above_base_in,
        strap_width_in=strap_width_in,
        clearance_in=clearance_in,
    )
    return 3 * (controls_top_above_base_in + clearance_in + strap_width_in / 2)


def usual_dry_weight(rows: Iterable[Row], heater_kind: str, storage_gal: Decimal) -> Decimal | None:
    """Weight to take for an empty heater whose plate gives none.

    rows         `dry_weights`: heater_kind ("any" for every kind), over_gal,
                 up_to_gal, weight_lb; a kind's own rows count before "any"
    heater_kind  as in the rows
    storage_gal  rated capacity                          [gal]
    returns      weight of the row that holds the capacity [lb]; None beyond the rows

    Source: the table handed in. Checked against: its rows.

    >>> rows = [{"heater_kind": "any", "over_gal": 0, "up_to_gal": 50, "weight_lb": 150}]
    >>> usual_dry_weight(rows, "electric_storage", Decimal(40))
    Decimal('150')
    """
    listed = list(rows)
    for kind in (heater_kind, "any"):
        own = (row for row in listed if row["heater_kind"] == kind and storage_gal > row["over_gal"])
        row = row_up_to(own, "up_to_gal", storage_gal)
        if row is not None:
            return Decimal(row["weight_lb"])
    return None
