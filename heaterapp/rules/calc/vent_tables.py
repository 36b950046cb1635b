"""Reading a printed capacity table of vents: cells, and between them, never through NA and never beyond.

Knows no code: rows, disputes and shares are arguments.
"""

from __future__ import annotations

from collections.abc import Iterable, Mapping
from dataclasses import dataclass, field
from decimal import Decimal
from typing import Any

from .exact import exactly
from .printed import DOUBT_OF_MEMORY

NOT_PERMITTED = "NA"
WHOLLY_IN_DOUBT = Decimal(10) ** 6
"""More than any cell: within it of a combination that only memory forbids nothing is decided."""


@dataclass(frozen=True, slots=True)
class Grid:
    """A printed table by height, second measure (lateral or rise; nothing for a common vent) and diameter.

    across    the second measure's column, or ""
    cells     (height, second measure, diameter) -> column -> value, None where it is not permitted
    sure      the same -> column -> letter: T two sources, R read, M memory, D disputed
    gaps      the same -> column -> how far the other print is off, None where it says NA
    """

    across: str
    cells: Mapping[tuple[Decimal, Decimal, Decimal], Mapping[str, Decimal | None]]
    sure: Mapping[tuple[Decimal, Decimal, Decimal], Mapping[str, str]]
    gaps: Mapping[tuple[Decimal, Decimal, Decimal, str], Decimal | None]

    def heights(self) -> list[Decimal]:
        """The heights printed, rising [ft]."""
        return sorted({height for height, _, _ in self.cells})

    def seconds(self, height: Decimal) -> list[Decimal]:
        """The laterals or rises printed at a height, rising [ft]."""
        return sorted({second for at, second, _ in self.cells if at == height})

    def diameters(self) -> list[Decimal]:
        """The diameters printed, rising [in]."""
        return sorted({diameter for _, _, diameter in self.cells})


@dataclass(frozen=True, slots=True)
class Read:
    """A value read off a table.

    value   [the table's unit], 0 where the table does not permit the combination, None beyond the table
    method  how it was read, for people: "the cell", or between which heights and lengths
    doubt   within what of the value nothing is decided [the table's unit]; more than any
            input where memory alone does not permit it
    why     why there is no value, or that it is not permitted
    cells   the printed cells that it rests on, those of a height together, None where it is not permitted
    """

    value: Decimal | None
    method: str = ""
    doubt: Decimal = Decimal(0)
    why: str = ""
    cells: tuple[tuple[Decimal | None, ...], ...] = ()


@dataclass
class _Sum:
    value: Decimal = Decimal(0)
    doubt: Decimal = Decimal(0)
    unsure: bool = False
    barred: bool = False
    surely: bool = False
    places: list[str] = field(default_factory=list)


def grid_of(rows: Iterable[Mapping[str, Any]], disputed: Iterable[Mapping[str, Any]] = ()) -> Grid:
    """A grid of a table's rows.

    rows      height_ft, lateral_ft or rise_ft or neither, diameter_in, capacities, cells_confidence
    disputed  what names a cell, its column, and the other print's value

    >>> grid_of([{"height_ft": 6, "diameter_in": 4, "nat_nat": 65, "cells_confidence": "R"}]).heights()
    [6]
    """
    cells, sure, gaps, across = {}, {}, {}, ""
    for row in rows:
        across = next((name for name in ("lateral_ft", "rise_ft") if name in row), "")
        key = _key(row, across)
        named = {"height_ft", "diameter_in", across, "cells_confidence"}
        capacities = {name: value for name, value in row.items() if name not in named}
        cells[key] = {name: None if value == NOT_PERMITTED else value for name, value in capacities.items()}
        sure[key] = dict(zip(capacities, row["cells_confidence"], strict=True))
    for one in disputed:
        key = _key(one, across)
        own, other = cells[key][one["column"]], one["other"]
        gaps[*key, one["column"]] = None if own is None or other == NOT_PERMITTED else abs(other - own)
    return Grid(across, cells, sure, gaps)


def _key(row: Mapping[str, Any], across: str) -> tuple[Decimal, Decimal, Decimal]:
    return row["height_ft"], row[across] if across else Decimal(0), row["diameter_in"]


def _between(values: list[Decimal], wanted: Decimal) -> list[tuple[Decimal, Decimal]] | None:
    """The printed values about one that is wanted, each with its share; None beyond them."""
    if not values or not values[0] <= wanted <= values[-1]:
        return None
    below = max(value for value in values if value <= wanted)
    above = min(value for value in values if value >= wanted)
    if below == above:
        return [(below, Decimal(1))]
    share = (wanted - below) / (above - below)
    return [(below, 1 - share), (above, share)]


def _doubt(grid: Grid, key: tuple[Decimal, Decimal, Decimal], column: str, value: Decimal) -> Decimal:
    letter = grid.sure[key][column]
    if letter not in ("M", "D"):
        return Decimal(0)
    gap = grid.gaps.get((*key, column), Decimal(0))
    return value if gap is None else max(value * DOUBT_OF_MEMORY, gap)


def _add(grid: Grid, total: _Sum, key: tuple[Decimal, Decimal, Decimal], column: str, share: Decimal) -> None:
    value = grid.cells[key][column]
    if value is None:
        total.barred = True
        total.surely = total.surely or grid.sure[key][column] not in ("M", "D")
        return
    total.value += share * value
    doubt = _doubt(grid, key, column, value)
    total.doubt += share * doubt
    total.unsure = total.unsure or bool(share and doubt)


@exactly
def read(
    grid: Grid, column: str, *, height_ft: Decimal, diameter_in: Decimal, second_ft: Decimal = Decimal(0)
) -> Read:
    """Read a capacity, straight or between printed heights and laterals (or rises).

        between: linear in the second measure at each height, then in height

    grid         a printed table, 1000 Btu/h by feet and inches
    column       fan_min, fan_max, nat_max, fan_fan, fan_nat or nat_nat
    height_ft    [ft]   within the table, else no value
    diameter_in  [in]   a size of the table, else no value
    second_ft    lateral or rise  [ft]  within what is printed at both heights, else no value
    returns      a `Read` in the table's unit (1000 Btu/h), unrounded

    A lateral of more than nothing and less than the shortest printed one is read as that
    one: the row of no lateral is for a straight vent alone. A cell beside one that is not
    permitted is not permitted either. What is wanted beyond the table has no value: the
    text forbids to go on past its ends.

    Source: 2012 UPC 510.1.14 to .17 and 510.2.24; New York City Fuel Gas Code 2022
    504.2.14 to .17. Checked against: IFGC Appendix B (2012) example 3, a height of 12 ft
    between 77 and 87 gives 81; exact.
    """
    if diameter_in not in grid.diameters():
        return Read(None, why=f"{diameter_in.normalize():f} in is no size of the table")
    about = _between(grid.heights(), height_ft)
    if about is None:
        ends = f"{grid.heights()[0]} to {grid.heights()[-1]} ft"
        return Read(None, why=f"a height of {height_ft.normalize():f} ft is outside the table, {ends}")
    total, places, cells = _Sum(), [], []
    for height, part in about:
        seconds = grid.seconds(height)
        # Only the tables of laterals have a row of nothing, and it is for a straight vent.
        bent = second_ft > 0 and len(seconds) > 1 and seconds[0] == 0
        wanted = max(second_ft, seconds[1]) if bent else second_ft
        beside = _between(seconds, wanted)
        if beside is None:
            word = "rise" if grid.across == "rise_ft" else "lateral"
            shown = f"{second_ft.normalize():f}"
            return Read(None, why=f"a {word} of {shown} ft is outside the table at {height} ft of height")
        for second, share in beside:
            _add(grid, total, (height, second, diameter_in), column, part * share)
        cells.append(tuple(grid.cells[height, second, diameter_in][column] for second, _ in beside))
        places.append(" and ".join(str(second) for second, _ in beside))
    method = _method(grid, about, places)
    if total.barred:
        doubt = Decimal(0) if total.surely else WHOLLY_IN_DOUBT
        said = "the table does not permit this combination"
        return Read(Decimal(0), method, doubt, said, tuple(cells))
    # However small the share of an unsure cell, the whole is no surer than that cell.
    least = total.value * DOUBT_OF_MEMORY if total.unsure else Decimal(0)
    return Read(total.value, method, max(total.doubt, least), cells=tuple(cells))


def _method(grid: Grid, about: list[tuple[Decimal, Decimal]], places: list[str]) -> str:
    heights = " and ".join(str(height) for height, _ in about)
    word = {"lateral_ft": "lateral", "rise_ft": "rise"}.get(grid.across, "")
    lengths = f", {word} {places[0] if len(set(places)) == 1 else ' or '.join(places)} ft" if word else ""
    straight = len(about) == 1 and " and " not in "".join(places)
    return f"{'the cell' if straight else 'between the cells'} of height {heights} ft{lengths}"


def elbow_loss(
    elbows_90: Decimal, elbows_45: Decimal, *, free: Decimal, loss_90: Decimal, loss_45: Decimal
) -> Decimal:
    """Share of the printed maximum lost to elbows.

        loss = a n90 + b n45, of the elbows beyond the free ones; sharp ones are the free ones first

    elbows_90, elbows_45  how many                    [-]  0 or more
    free                  that the table includes; 2, in a common vent 0
    loss_90, loss_45      a, b; 0.10 and 0.05         [-]
    returns               share, at most 1            [-]

    The text takes each share of the printed value, so they add.

    Source: 2012 UPC 510.1.3 and 510.2.5; New York City Fuel Gas Code 2022 504.2.4.
    Checked against: hand; two 90s too many leave 0.80.

    >>> elbow_loss(Decimal(4), Decimal(0), free=Decimal(2), loss_90=Decimal("0.10"), loss_45=Decimal("0.05"))
    Decimal('0.20')
    >>> elbow_loss(Decimal(1), Decimal(2), free=Decimal(2), loss_90=Decimal("0.10"), loss_45=Decimal("0.05"))
    Decimal('0.05')
    """
    left = max(Decimal(0), free - elbows_90)
    sharp, easy = max(Decimal(0), elbows_90 - free), max(Decimal(0), elbows_45 - left)
    return min(Decimal(1), sharp * loss_90 + easy * loss_45)


def over_length(length_ft: Decimal, allowed_ft: Decimal) -> int:
    """How many further multiples of its allowed length, or parts of one, a connector runs.

        n = ceiling(L / L allowed) - 1

    length_ft   L, level run            [ft]  0 or more
    allowed_ft  L allowed; 1.5 ft an inch of diameter  [ft]  0 or less costs nothing
    returns     whole number, 0 or more

    Source: 2012 UPC 510.2.2; IRC 2018 G2428.3.3. Checked against: their 4 in connector,
    over 6 to 12 ft one multiple, over 12 to 18 ft two.

    >>> [over_length(Decimal(n), Decimal(6)) for n in ("6", "6.1", "12", "12.1")]
    [0, 1, 1, 2]
    """
    if allowed_ft <= 0 or length_ft <= allowed_ft:
        return 0
    whole, rest = divmod(length_ft, allowed_ft)
    return int(whole) - (0 if rest else 1)
