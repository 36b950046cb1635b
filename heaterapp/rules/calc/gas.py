"""What a gas pipe carries: printed cells, and the low-pressure equation where none is printed.

The shares, gases and tables come from the adopted book and are arguments here.
"""

from __future__ import annotations

from collections.abc import Iterable, Mapping
from dataclasses import dataclass
from decimal import Decimal
from typing import Any

from .exact import exactly, positive
from .printed import DOUBT_OF_MEMORY

LEAD = Decimal("19.17")
DROP_POWER = Decimal("0.206")
FLOW_POWER = Decimal("0.381")


@exactly
def flow(inside_in: Decimal, length_ft: Decimal, drop_inwc: Decimal, gas_factor: Decimal) -> Decimal:
    """Gas that a smooth straight pipe carries at an inlet below 1.5 psi.

        Q = (19.17 D (dH / (Cr L))^0.206)^(1/0.381)

    inside_in   D, inside diameter           [in]        more than 0
    length_ft   L, equivalent length         [ft]        more than 0
    drop_inwc   dH, pressure drop            [in. w.c.]  more than 0
    gas_factor  Cr; 0.6094 natural gas, 1.2462 propane  [-]  more than 0
    returns     flow, good to 26 digits      [ft3/h]

    Leaves out fittings, for which the text lets a normal number be, and higher inlets,
    whose tables follow another law.

    Source: IFGC and IRC 2018, G2413.4 for Cr; UPC 2012 equation 1216.3(1) for 19.17 and
    0.206; 0.381 from memory. Checked against: every cell of the 0.5 and 0.3 in. w.c. tables for natural
    gas (the equation is 0.994 times smaller in print, within its rounding of three
    figures) and the propane table to 60 ft (0.4 to 1.9 percent above it).

    >>> flow(Decimal("0.824"), Decimal(40), Decimal("0.5"), Decimal("0.6094")).quantize(Decimal(1))
    Decimal('171')
    """
    positive(inside_in=inside_in, length_ft=length_ft, drop_inwc=drop_inwc, gas_factor=gas_factor)
    # exp and ln are correctly rounded everywhere; the power operator need not be
    slope = (DROP_POWER * (drop_inwc / (gas_factor * length_ft)).ln()).exp()
    return ((LEAD * inside_in * slope).ln() / FLOW_POWER).exp()


@dataclass(frozen=True, slots=True)
class Carries:
    """What one pipe carries.

    value      [Btu/h]
    by         "cell" or "equation"
    row_ft     the printed length that was read, for a cell [ft]
    sure       the cell's own confidence; "derived" for the equation
    drop_inwc  the drop of the table that was read, for a cell [in. w.c.]
    """

    value: Decimal
    by: str
    row_ft: Decimal
    sure: str
    drop_inwc: Decimal

    @property
    def doubt(self) -> Decimal:
        """How near to the value nothing is decided by it [Btu/h]; 0 for all but a cell from memory."""
        return self.value * DOUBT_OF_MEMORY if self.sure == "memory" else Decimal(0)


def printed(
    rows: Iterable[Mapping[str, Any]], pipe_in: Decimal, length_ft: Decimal
) -> Mapping[str, Any] | None:
    """The cell of a size at the printed length that is the measured one or the next longer, or None.

    rows       length_ft, pipe_in and a capacity
    pipe_in    nominal size  [in]
    length_ft  measured      [ft]

    Source: 2018 IFGC A.2.4, printed page 159: the row of the length or the next longer.

    >>> rows = [{"length_ft": 10, "pipe_in": 1, "cfh": 678}, {"length_ft": 20, "pipe_in": 1, "cfh": 466}]
    >>> printed(rows, Decimal(1), Decimal("10.5"))["cfh"], printed(rows, Decimal(1), Decimal(21))
    (466, None)
    """
    fit = [row for row in rows if row["pipe_in"] == pipe_in and row["length_ft"] >= length_ft]
    return min(fit, key=lambda row: row["length_ft"], default=None)


Rows = tuple[Mapping[str, Any], ...]
NATURAL, PROPANE = 0, 1


@dataclass(frozen=True, slots=True)
class Sizing:
    """Everything by which a pipe is sized; pairs are natural gas, then propane.

    natural, natural_low  printed rows at the usual and the low drop   [ft3/h]
    propane               printed rows at the usual drop               [1000 Btu/h]
    diameters             nominal and inside diameters                 [in]
    usual_drop, low_drop  the drops of the printed tables              [in. w.c.]
    factors, heats, shares  Cr [-], heat value [Btu/ft3], print over equation [-]
    """

    natural: Rows
    natural_low: Rows
    propane: Rows
    diameters: Rows
    usual_drop: Decimal
    low_drop: Decimal
    factors: tuple[Decimal, Decimal]
    heats: tuple[Decimal, Decimal]
    shares: tuple[Decimal, Decimal]

    def tables(self, propane: bool) -> dict[Decimal, Rows]:
        """The printed rows of a gas, by their drop."""
        if propane:
            return {self.usual_drop: self.propane}
        return {self.usual_drop: self.natural, self.low_drop: self.natural_low}


@exactly
def section(
    by: Sizing, *, pipe_in: Decimal, length_ft: Decimal, propane: bool, drop_inwc: Decimal
) -> Carries | None:
    """What one section carries in heat; None for a size whose diameter is not held.

        the printed cell of its gas and drop x its unit; else share x Q x heat value,
        no less than the table of a smaller drop gives and no more than that of a larger

    by         tables, gases and shares
    pipe_in    nominal size                          [in]
    length_ft  to the farthest outlet                [ft]        more than 0
    propane    else natural gas
    drop_inwc  pressure drop                         [in. w.c.]  more than 0
    returns    `Carries` in Btu/h, unrounded

    Source: 2018 IFGC A.2.4 and 402.4; that the equation keeps between the tables is worked.
    Checked against: see `flow` and `printed`; it never rises with length or falls with drop or size.
    """
    tables = by.tables(propane)
    own = _by_table(by, pipe_in, length_ft, propane, drop_inwc, tables.get(drop_inwc, ()))
    if own is None or drop_inwc in tables:
        return own
    # a cell stands for all lengths back to the row before it, so the plain equation can step over it
    for drop, rows in sorted(tables.items()):
        beside = _by_table(by, pipe_in, length_ft, propane, drop, rows)
        if beside is not None and (own.value - beside.value) * (drop_inwc - drop) < 0:
            own = beside
    return own


def _by_table(
    by: Sizing, pipe_in: Decimal, length_ft: Decimal, propane: bool, drop_inwc: Decimal, rows: Rows
) -> Carries | None:
    """The cell at this drop; past the last row the equation, never above that row; None as in `section`."""
    at, column, each = (
        (PROPANE, "thousand_btuh", Decimal(1000)) if propane else (NATURAL, "cfh", by.heats[NATURAL])
    )
    cell = printed(rows, pipe_in, length_ft)
    of_size = [row for row in rows if row["pipe_in"] == pipe_in]
    last = max(of_size, key=lambda row: row["length_ft"], default=None)
    inside = next((row["inside_in"] for row in by.diameters if row["pipe_in"] == pipe_in), None)
    if cell is None:
        if inside is None:
            return None
        value = by.shares[at] * flow(inside, length_ft, drop_inwc, by.factors[at]) * by.heats[at]
        if last is None or value <= last[column] * each:
            return Carries(value, "equation", length_ft, "derived", drop_inwc)
        cell = last
    return Carries(cell[column] * each, "cell", cell["length_ft"], cell["confidence"], drop_inwc)
