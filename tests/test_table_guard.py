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
    held = guard.holds("second print", name, one, SECOND, {}) | guard.by_equation(name, one["rows"])
    for at, column in guard.cells(one["rows"]):
        row = one["rows"][at]
        if "cells_confidence" in row:
            columns = [
                c
                for c in row
                if c not in ("height_ft", "lateral_ft", "rise_ft", "diameter_in", "cells_confidence")
            ]
            letters = dict(zip(columns, row["cells_confidence"], strict=True))
            if letters.get(column, "T") in "TR":
                assert (at, column) in held, f"{name}: {column} of row {at + 1} was read and stands once only"
            continue
        own = next(
            (c for c in row if c.endswith("_confidence") and column.startswith(c.removesuffix("confidence"))),
            "",
        )
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
    one = TABLES[name]
    at = next(
        i for i, row in enumerate(one["rows"]) if row.get("shield", "") == shield and row[column] == slip - 1
    )
    for way, kept in (("second print", {}), ("hash only", KEPT["tables"])):
        assert (at, column) in guard.holds(way, name, one, SECOND, kept)
        off = guard.slipped(one, at, column)
        assert off["rows"][at][column] == slip
        assert (at, column) not in guard.holds(way, name, off, SECOND, kept)


def test_a_cell_that_grows_surer_or_a_dispute_that_goes_is_noticed() -> None:
    one = TABLES["vent_single_type_b"]
    name, rows = "vent_single_type_b", one["rows"]
    at = next(i for i, row in enumerate(rows) if "M" in row["cells_confidence"])
    surer = {**rows[at], "cells_confidence": "RRR"}
    for other in (
        {**one, "rows": (*rows[:at], surer, *rows[at + 1 :])},
        {**one, "disputed": one["disputed"][:1]},
    ):
        assert guard.holds("hash only", name, one, SECOND, KEPT["tables"])
        assert not guard.holds("hash only", name, other, SECOND, KEPT["tables"])


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
    surer = {**topic, "pressure_limit": {**topic["pressure_limit"], "sure": "read"}}
    assert guard.digest(surer) != guard.digest(topic)
