"""Rows for a spreadsheet: CSV in which no cell is live, and which reads back as what was written.

RFC 4180 in UTF-8 with its mark. Text stands in quotes, so that 0012345 stays text; numbers, dates
and true or false stand bare. Text that a spreadsheet would take for a formula is led by an apostrophe.
"""

from __future__ import annotations

import re
import unicodedata
from collections.abc import Iterable, Iterator, Sequence
from datetime import UTC, date, datetime
from decimal import Decimal

Cell = str | int | float | Decimal | bool | date | datetime | None
MARK = "\ufeff"
CHUNK = 64_000
_BEGINS = frozenset("=+-@\t\r\n\uff1d\uff0b\uff0d\uff20\u2212")
# Kinds of characters that are not seen by themselves, and blank ones that count as letters or signs.
_UNSEEN = frozenset({"Cc", "Cf", "Mn", "Me", "Zs", "Zl", "Zp"})
_BLANK = frozenset("\u115f\u1160\u2800\u3164\uffa0")
_CELL = re.compile(r'(?:"([^"]*(?:""[^"]*)*)"|([^",\r\n]*))(,|\r\n|\Z)')
_WHOLE = re.compile(r"-?\d+")
_DAY = re.compile(r"\d{4}-\d\d-\d\d")
_MOMENT = re.compile(r"\d{4}-\d\d-\d\dT\d\d:\d\d:\d\dZ")


def written(heads: Sequence[str], rows: Iterable[Sequence[Cell]]) -> Iterator[bytes]:
    """Give the file of these rows piece by piece, the heads first; memory stays flat.

    heads   a name for each column
    rows    as many cells each; a moment needs its time zone and is written in UTC, to the second
    raises  ValueError for a row of another length, or a number that is none (infinite, not a number)
    """
    waiting, size = [MARK, _line(heads)], 0
    for row in rows:
        if len(row) != len(heads):
            raise ValueError(f"a row of {len(heads)} cells was expected, this one has {len(row)}")
        waiting.append(_line(row))
        size += len(waiting[-1])
        if size > CHUNK:
            yield "".join(waiting).encode("utf-8", "replace")
            waiting, size = [], 0
    yield "".join(waiting).encode("utf-8", "replace")


def read(body: bytes) -> list[list[Cell]]:
    """Return the rows of a file that `written` made, heads first: text, int, Decimal, date, moment, None.

    A decimal number without a fraction comes back as a whole one.

    raises  ValueError, naming the line, for what `written` would not write
    """
    text = body.decode("utf-8-sig")
    rows: list[list[Cell]] = []
    row: list[Cell] = []
    at = 0
    while at < len(text) or row:
        found = _CELL.match(text, at)
        if found is None:
            raise ValueError(
                f"line {len(rows) + 1}: a cell in quotes, or a bare number or date, was expected"
            )
        quoted, bare, then = found.groups()
        row.append(_unled(quoted.replace('""', '"')) if quoted is not None else _value(bare, len(rows) + 1))
        at = found.end()
        if then != ",":
            rows.append(row)
            row = []
    return rows


def _line(cells: Iterable[Cell]) -> str:
    return ",".join(["" if cell is None else _cell(cell) for cell in cells]) + "\r\n"


def _cell(value: str | int | float | Decimal | bool | date | datetime) -> str:
    if isinstance(value, str):
        led = "'" + value if _is_live(value) else value
        return '"' + led.replace('"', '""') + '"'
    if isinstance(value, bool):
        return "TRUE" if value else "FALSE"
    if isinstance(value, datetime):
        if value.tzinfo is None:
            raise ValueError("a moment needs its time zone")
        return value.astimezone(UTC).strftime("%Y-%m-%dT%H:%M:%SZ")
    if isinstance(value, date):
        return value.isoformat()
    number = value if isinstance(value, int) else Decimal(str(value))
    if isinstance(number, Decimal) and not number.is_finite():
        raise ValueError(f"{value} is no number")
    return str(number) if isinstance(number, int) else f"{number:f}"


def _is_live(text: str) -> bool:
    """Say whether a formula begins here, also after spaces or unseen characters, in the wide forms too.

    An apostrophe that stands before such a beginning already gets another: reading takes one away.
    """
    for one in text.lstrip("'"):
        if one in _BEGINS:
            return True
        if one not in _BLANK and unicodedata.category(one) not in _UNSEEN:
            return False
    return False


def _unled(text: str) -> str:
    return text[1:] if text.startswith("'") and _is_live(text) else text


def _value(bare: str, line: int) -> Cell:
    if not bare:
        return None
    if bare in ("TRUE", "FALSE"):
        return bare == "TRUE"
    try:
        if _MOMENT.fullmatch(bare):
            return datetime.fromisoformat(bare)
        if _DAY.fullmatch(bare):
            return date.fromisoformat(bare)
        return int(bare) if _WHOLE.fullmatch(bare) else Decimal(bare)
    except (ValueError, ArithmeticError):
        raise ValueError(
            f"line {line}: {bare[:40]} is no number and no date, and text stands in quotes"
        ) from None
