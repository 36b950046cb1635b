"""Reading a row off a printed table that is handed in as a list of rows."""

from collections.abc import Iterable, Mapping
from decimal import Decimal
from typing import Any

Row = Mapping[str, Any]
DOUBT_OF_MEMORY = Decimal("0.03")
"""Share of a value within which a cell that nobody read, or that two prints dispute, decides nothing."""


def row_up_to(rows: Iterable[Row], column: str, value: Decimal) -> Row | None:
    """Return the first row whose upper limit is not below a value.

    A value exactly on a limit belongs to that limit's row. A row without the
    column has no upper limit.

    rows: in the order printed, limits rising.
    column: the column that holds the upper limit.
    value: in the column's own unit.
    Returns the row, or None where the value is beyond the table: printed tables
    are never extended.

    >>> pitches = [{"up_to": 6, "ft": 1}, {"up_to": 7, "ft": 2}]
    >>> row_up_to(pitches, "up_to", Decimal(6))["ft"]
    1
    >>> row_up_to(pitches, "up_to", Decimal("7.5")) is None
    True
    """
    for row in rows:
        if column not in row or value <= Decimal(row[column]):
            return row
    return None


def row_where(rows: Iterable[Row], **cells: Any) -> Row | None:
    """Return the one of the rows that carries all the cells named, or None.

    rows: in any order.  cells: column = value, all of which the row must carry.

    >>> row_where([{"awg": 12, "a": 20}, {"awg": 10, "a": 30}], awg=10)["a"]
    30
    """
    for row in rows:
        if all(name in row and row[name] == cell for name, cell in cells.items()):
            return row
    return None
