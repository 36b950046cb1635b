"""CSV: nothing in it is live, and what was written reads back."""

import csv
import io
import random
from datetime import UTC, date, datetime
from decimal import Decimal

import pytest

from heaterapp.sheet_rows import read, written

LIVE = "=+-@\t\r"
PIECES = (
    *LIVE, "\n", "\r\n", '"', '""', "'", "''", ",", ";", " ", "\u00a0", "\ufeff", "\0", "\uff1d", "0012345",
    "1E5", "=cmd|' /C calc'!A0", "@SUM(1)", "-2+3", "+1 555 0100", "\u00e9\u2019\U0001f525", "TRUE", "2026-03-14",
    "",
)  # fmt: skip


def hostile(count: int) -> list[str]:
    chance = random.Random(7)
    return ["".join(chance.choices(PIECES, k=chance.randint(0, 6))) for _ in range(count)]


def whole(heads, rows) -> bytes:
    return b"".join(written(heads, rows))


def test_a_thousand_hostile_cells_come_back_and_none_is_live():
    cells = hostile(1000)
    assert sum(cell[:1] in tuple(LIVE) for cell in cells) > 200
    body = whole(["number", "text"], [[at, cell] for at, cell in enumerate(cells)])
    assert [row[1] for row in read(body)[1:]] == cells
    # As a spreadsheet reads it, which knows nothing of our quotes.
    shown = list(csv.reader(io.StringIO(body.decode("utf-8-sig"), newline="")))
    assert len(shown) == 1001
    live = [row[1] for row in shown if row[1].strip(" \u00a0\ufeff\0")[:1] in tuple(LIVE)]
    assert live == []


def test_a_cell_is_led_by_one_apostrophe_only_where_it_would_be_live():
    rows = [["=1"], ["'=1"], ["'tis"], ["O'Hara"], ["12 Oak"], [" @a"], ["-"]]
    shown = list(csv.reader(io.StringIO(whole(["a"], rows).decode("utf-8-sig"), newline="")))
    assert [row[0] for row in shown[1:]] == ["'=1", "''=1", "'tis", "O'Hara", "12 Oak", "' @a", "'-"]


def test_no_unseen_character_hides_what_begins_a_formula():
    for unseen in "\u202e\u2066\u061c\u00ad\u180e\ufe0e\u034f\u3164\x01\U000e0041":
        body = whole(["a"], [[unseen + "=1"], ["'" + unseen + "@A"], [unseen + "tis"]])
        shown = list(csv.reader(io.StringIO(body.decode("utf-8-sig"), newline="")))
        assert [row[0] for row in shown[1:]] == [f"'{unseen}=1", f"''{unseen}@A", f"{unseen}tis"], ascii(unseen)
        assert [row[0] for row in read(body)[1:]] == [unseen + "=1", "'" + unseen + "@A", unseen + "tis"]


def test_every_kind_of_value_comes_back_as_it_was():
    moment = datetime(2026, 3, 14, 9, 26, 53, tzinfo=UTC)
    day = date(2026, 3, 14)
    row = [-5, Decimal("-0.50"), 10**20, Decimal("1E-3"), day, moment, True, None, "", "007", "-5"]
    body = whole([str(at) for at in range(len(row))], [row])
    back = read(body)[1]
    assert back == row
    assert [type(one) for one in back] == [type(one) for one in row]
    assert body.splitlines()[1] == (
        b'-5,-0.50,100000000000000000000,0.001,2026-03-14,2026-03-14T09:26:53Z,TRUE,,"","007","\'-5"'
    )


def test_the_bytes_are_as_the_standard_says():
    body = whole(["a", "b"], [["x,y", 'say "so"'], ["two\r\nlines", 1]])
    assert body == b'\xef\xbb\xbf"a","b"\r\n"x,y","say ""so"""\r\n"two\r\nlines",1\r\n'


def test_many_rows_come_in_pieces():
    pieces = list(written(["a"], ([f"row {at}"] for at in range(20_000))))
    assert len(pieces) > 2
    assert max(map(len, pieces)) < 100_000
    assert len(read(b"".join(pieces))) == 20_001


@pytest.mark.parametrize(
    ("row", "says"),
    [
        (["a"], "2 cells was expected"),
        ([1, float("nan")], "no number"),
        ([1, Decimal("inf")], "no number"),
        ([1, datetime(2026, 3, 14)], "time zone"),
    ],
)
def test_what_cannot_be_written_is_refused(row, says):
    with pytest.raises(ValueError, match=says):
        whole(["a", "b"], [row])


@pytest.mark.parametrize(
    "body", [b'"a"\r\nnaked words\r\n', b'"a"\r\n"open\r\n', b'"a"\r\n"x"y\r\n', b"2026-13-45\r\n"]
)
def test_what_was_never_written_so_is_refused(body):
    with pytest.raises(ValueError, match="line"):
        read(body)
