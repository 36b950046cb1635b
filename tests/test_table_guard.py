"""No cell of a printed table and no value of a book changes unnoticed; the guard itself notices what it should."""

from __future__ import annotations

from collections import Counter
from decimal import Decimal as D

import pytest

from tests import table_guard as guard

KEPT = guard._toml(guard.HASHES)
SECOND = guard.second_prints()
TABLES = guard.tables()


def test_every_cell_of_every_table_is_held() -> None:
    total: Counter[str] = Counter()
    for name, counts in guard.run_tables(SECOND, KEPT["tables"]):
        assert not counts["not held"], (
            f"{name}: run python tests/table_guard.py, read the cells, then --accept"
        )
        total += counts
    assert total["second print"] > total["hash only"]


def test_every_value_of_every_book_is_held() -> None:
    counts = guard.run_books(KEPT["books"])
    assert counts["held"] > 2000
    assert not counts["not held"], (
        "a book changed: read the clause again, then python tests/table_guard.py --accept"
    )


def test_no_hash_and_no_second_print_stands_for_a_file_that_is_gone() -> None:
    assert set(KEPT["tables"]) == set(TABLES)
    assert set(KEPT["books"]) == set(guard.book_topics())
    assert set(SECOND) <= set(TABLES)


@pytest.mark.parametrize("name", sorted(TABLES))
def test_what_two_sources_have_is_typed_twice_or_worked_out(name: str) -> None:
    """Words and cells that one memory alone has may be held by a hash; a number that was read twice may not."""
    one = TABLES[name]
    held = guard.holds("second print", name, one["rows"], SECOND, {}) | guard.by_equation(name, one["rows"])
    for at, column in guard.cells(one["rows"]):
        row = one["rows"][at]
        own = next((c for c in row if c.endswith("_confidence") and column.startswith(c.removesuffix("confidence"))), "")
        sure = row.get(own or "confidence", one["read"]["confidence"])
        if sure in ("two_sources", "read") and not isinstance(row[column], str):
            assert (at, column) in held, f"{name}: {column} of row {at + 1} is {sure} and stands once only"


@pytest.mark.parametrize(
    ("name", "shield", "column", "slip"),
    [
        ("clearance_reduction", "sheet_metal_24ga_air_space", "above_in", D(6)),
        ("standard_breakers", "", "rating_a", D(91)),
    ],
)
def test_a_slip_of_one_unit_is_noticed(name: str, shield: str, column: str, slip: D) -> None:
    rows = TABLES[name]["rows"]
    at = next(i for i, row in enumerate(rows) if row.get("shield", "") == shield and row[column] == slip - 1)
    assert (at, column) in guard.holds("second print", name, rows, SECOND, {})
    slipped = (*rows[:at], {**rows[at], column: slip}, *rows[at + 1 :])
    assert (at, column) not in guard.holds("second print", name, slipped, SECOND, {})
    assert (at, column) not in guard.holds("hash only", name, slipped, SECOND, KEPT["tables"])


def test_a_value_is_changed_by_its_last_printed_digit() -> None:
    changes = [
        (D("0.67"), D("0.68")),
        (D(5), D(6)),
        (True, False),
        ("roof", "roof_"),
        ([D(1), D(2)], [D(1), D(3)]),
    ]
    assert [guard.changed(value) for value, _ in changes] == [other for _, other in changes]


def test_a_book_s_value_that_changes_is_noticed_and_its_reading_note_is_not() -> None:
    topic = guard.book_topics()["upc_2021/supply"]
    assert guard.digest(topic) == KEPT["books"]["upc_2021/supply"]
    limit = topic["pressure_limit"]["limit"]
    other = {
        **topic,
        "pressure_limit": {**topic["pressure_limit"], "limit": {**limit, "value": limit["value"] + 1}},
    }
    assert guard.digest(other) != guard.digest(topic)
    assert "read" not in topic["pressure_limit"]
