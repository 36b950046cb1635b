"""The printed vent tables: read cell by cell, between cells, never beyond and never through what is not permitted."""

from __future__ import annotations

from decimal import Decimal as D
from itertools import pairwise

import pytest

from heaterapp.rules import book
from heaterapp.rules.calc import vent_tables
from heaterapp.rules.calc.vent_tables import Read, grid_of, read

SINGLE = ("vent_single_type_b", "vent_single_single_wall")
CONNECTORS = ("vent_shared_connector_type_b", "vent_shared_connector_single_wall")
COMMON = ("vent_shared_common_type_b", "vent_shared_common_single_wall")
TABLES = {name: book.table(name) for name in (*SINGLE, *CONNECTORS, *COMMON)}
GRIDS = {name: grid_of(table.rows, table.disputed) for name, table in TABLES.items()}


def _read(name: str, column: str, height: object, diameter: int, second: object = 0) -> Read:
    return read(
        GRIDS[name], column, height_ft=D(str(height)), diameter_in=D(diameter), second_ft=D(str(second))
    )


# IFGC Appendix B (2012), as the 2013 California Residential Code prints it, and NFPA 54-2012 as Appendix F of the 2013
# California Mechanical Code does: the numbers of both agree. All to the printed thousand.
EXAMPLES = [
    ("1(a) single wall, 10 ft, 5 ft, 5 in", "vent_single_single_wall", "nat_max", 10, 5, 5, 122),
    ("3 Type B, 10 ft, 5 ft, 4 in", "vent_single_type_b", "nat_max", 10, 4, 5, 77),
    ("3 Type B, 15 ft, 5 ft, 4 in", "vent_single_type_b", "nat_max", 15, 4, 5, 87),
    ("3 Type B, 12 ft: 77 + 2/5 x 10", "vent_single_type_b", "nat_max", 12, 4, 5, 81),
    ("4 heater 3 in, rise 2 ft, 30 ft", "vent_shared_connector_single_wall", "nat_max", 30, 3, 2, 37),
    ("4 furnace 5 in, rise 3 ft", "vent_shared_connector_single_wall", "nat_max", 30, 5, 3, 120),
    ("4 furnace 6 in, rise 3 ft", "vent_shared_connector_single_wall", "nat_max", 30, 6, 3, 172),
    ("4 common vent 6 in", "vent_shared_common_single_wall", "nat_nat", 30, 6, 0, 257),
]


@pytest.mark.parametrize(("name", "table", "column", "height", "diameter", "second", "thousand"), EXAMPLES)
def test_published_examples(name, table, column, height, diameter, second, thousand):
    assert _read(table, column, height, diameter, second).value == thousand, name


# New York City Fuel Gas Code 2022, chapter 5, read cell by cell; fan least, fan most, hood most.
SPOTS = [
    ("vent_single_type_b", 10, 4, 5, (32, 113, 77)),
    ("vent_single_type_b", 8, 3, 2, (12, 57, 40)),
    ("vent_single_single_wall", 10, 4, 2, (59, 117, 80)),
    ("vent_single_single_wall", 15, 4, 5, (75, 128, 86)),
    ("vent_shared_connector_single_wall", 30, 3, 1, (47, 60, 31)),
]


@pytest.mark.parametrize(("table", "height", "diameter", "second", "thousands"), SPOTS)
def test_cells_read_once_more(table, height, diameter, second, thousands):
    found = [_read(table, c, height, diameter, second) for c in ("fan_min", "fan_max", "nat_max")]
    assert tuple(one.value for one in found) == thousands
    assert all(one.method.startswith("the cell") and one.doubt == 0 for one in found)


def test_a_common_vent_and_a_connector_read_once_more():
    common = [_read("vent_shared_common_type_b", c, 15, 5).value for c in ("fan_fan", "fan_nat", "nat_nat")]
    assert common == [195, 164, 144]
    assert _read("vent_shared_connector_type_b", "nat_max", 10, 4, 2).value == 59


@pytest.mark.parametrize("name", TABLES)
def test_the_tables_are_whole(name):
    grid = GRIDS[name]
    assert grid.heights() == [6, 8, 10, 15, 20, 30, 50]
    assert grid.diameters() == ([4, 5, 6, 7, 8] if name in COMMON else [3, 4, 5, 6, 7, 8])
    assert all(set(letters.values()) <= set("TRMD") for letters in grid.sure.values())
    assert len(grid.cells) == len(TABLES[name].rows)


@pytest.mark.parametrize(("name", "cells"), [
    ("vent_single_type_b", {"T": 337, "R": 263, "M": 64, "D": 2}), ("vent_single_single_wall", {"T": 54, "R": 451, "M": 160, "D": 1}),
    ("vent_shared_connector_type_b", {"T": 65, "R": 262, "M": 47, "D": 4}), ("vent_shared_common_type_b", {"T": 44, "R": 51, "M": 10, "D": 0}),
    ("vent_shared_connector_single_wall", {"T": 39, "R": 296, "M": 30, "D": 13}), ("vent_shared_common_single_wall", {"T": 15, "R": 83, "M": 4, "D": 3}),
])  # fmt: skip
def test_how_many_cells_are_how_sure(name, cells):
    """The counts of the reading notes, so that no cell grows surer by a slip."""
    letters = "".join("".join(row.values()) for row in GRIDS[name].sure.values())
    assert {letter: letters.count(letter) for letter in "TRMD"} == cells
    assert len(GRIDS[name].gaps) == cells["D"]


MOST = ("fan_max", "nat_max", "fan_fan", "fan_nat", "nat_nat")


@pytest.mark.parametrize("name", TABLES)
def test_a_maximum_grows_with_height_and_diameter(name):
    """Of a lateral it falls, of a rise it grows. The fan's minimum does neither in print and is left as printed."""
    grid = GRIDS[name]
    way = -1 if grid.across == "lateral_ft" else 1
    for (height, second, diameter), cells in grid.cells.items():
        for (h, s, d), others in grid.cells.items():
            larger = (h == height and s == second and d > diameter) or (
                s == second and d == diameter and h > height
            )
            longer = h == height and d == diameter and (s - second) * way > 0
            for column in MOST:
                one, other = cells.get(column), others.get(column)
                if one is not None and other is not None and (larger or longer):
                    assert other >= one, (name, column, (height, second, diameter), (h, s, d))


@pytest.mark.parametrize("name", [*SINGLE, *CONNECTORS])
def test_no_least_is_above_its_most(name):
    for key, cells in GRIDS[name].cells.items():
        if cells["fan_min"] is not None and cells["fan_max"] is not None:
            assert cells["fan_min"] <= cells["fan_max"], key


def _plainly(name, column, height, diameter, second):
    """A second reading of a table, written apart: straight lines between rows, in floating point."""
    rows = [row for row in TABLES[name].rows if row["diameter_in"] == diameter]
    across = GRIDS[name].across

    def at(height):
        line = sorted(
            (float(r[across] if across else 0), r[column]) for r in rows if r["height_ft"] == height
        )
        if across == "lateral_ft" and 0 < second < line[1][0]:
            return line[1][1]
        for (a, low), (b, high) in pairwise(line):
            if a <= second <= b:
                used = [low] if second == a else [high] if second == b else [low, high]
                if "NA" in used:
                    return "NA"
                return (
                    float(low) + (float(high) - float(low)) * (second - a) / (b - a)
                    if len(used) > 1
                    else float(used[0])
                )
        return (
            float(line[0][1])
            if len(line) == 1 and line[0][1] != "NA"
            else line[0][1]
            if len(line) == 1
            else None
        )

    heights = [6, 8, 10, 15, 20, 30, 50]
    below = max(h for h in heights if h <= height)
    above = min(h for h in heights if h >= height)
    ends = [at(below)] if below == above else [at(below), at(above)]
    if None in ends:
        return None
    if "NA" in ends:
        return 0.0
    return (
        float(ends[0])
        if len(ends) == 1
        else float(ends[0]) + (float(ends[1]) - float(ends[0])) * (height - below) / (above - below)
    )


@pytest.mark.parametrize("name", TABLES)
@pytest.mark.parametrize("height", ["6", "7.3", "12", "15", "24.5", "47", "50"])
def test_between_cells_against_a_second_reading(name, height):
    columns = ("fan_fan", "fan_nat", "nat_nat") if name in COMMON else ("fan_min", "fan_max", "nat_max")
    seconds = {"lateral_ft": ("0", "0.5", "2", "3.7", "6", "14", "25"), "rise_ft": ("1", "1.5", "3")}.get(
        GRIDS[name].across, ("0",)
    )
    for column in columns:
        for diameter in GRIDS[name].diameters():
            for second in seconds:
                found = _read(name, column, height, int(diameter), second)
                wanted = _plainly(name, column, float(height), diameter, float(second))
                if wanted is None:
                    assert found.value is None, (name, column, height, diameter, second)
                else:
                    assert found.value is not None
                    assert abs(float(found.value) - wanted) < 1e-9, (
                        name,
                        column,
                        height,
                        diameter,
                        second,
                        found,
                    )


@pytest.mark.parametrize(
    ("height", "second", "diameter", "why"),
    [("5.99", 2, 4, "a height of 5.99 ft is outside the table, 6 to 50 ft"), ("50.01", 2, 4, "outside the table"), (10, "10.1", 4, "a lateral of 10.1 ft is outside the table at 10 ft of height"),
     (12, 12, 4, "a lateral of 12 ft is outside the table at 10 ft of height"), (10, 2, 9, "9 in is no size of the table")],
)  # fmt: skip
def test_nothing_is_read_beyond_the_table(height, second, diameter, why):
    found = _read("vent_single_type_b", "nat_max", height, diameter, second)
    assert found.value is None
    assert why in found.why


def test_a_rise_under_the_table_is_beyond_it_and_says_rise():
    assert "a rise of 0.5 ft" in _read("vent_shared_connector_type_b", "nat_max", 10, 4, "0.5").why


@pytest.mark.parametrize(("height", "second"), [(50, 5), (40, 5), (50, 4), (30, 15)])
def test_what_is_not_permitted_is_nothing_and_nobody_reads_through_it(height, second):
    found = _read("vent_single_type_b", "nat_max", height, 3, second)
    assert (found.value, found.why) == (0, "the table does not permit this combination")


@pytest.mark.parametrize(
    ("name", "column", "height", "diameter", "second", "doubt"),
    [
        ("vent_single_type_b", "nat_max", 50, 7, 5, "13.14"),  # from memory: 3 percent of 438
        (
            "vent_single_type_b",
            "nat_max",
            20,
            8,
            2,
            "14.1",
        ),  # two prints, 470 and 480: 3 percent of 470 is more
        ("vent_single_single_wall", "fan_min", 15, 6, 0, "50"),  # 116 against 166
        ("vent_shared_connector_single_wall", "fan_min", 6, 5, 3, "121"),  # against NA: the whole of it
        ("vent_shared_common_single_wall", "fan_nat", 20, 4, 0, "20"),  # 118 against 138
        ("vent_single_type_b", "nat_max", 40, 7, 5, "12.345"),  # half of it from memory: 3 percent of the whole, 411.5
    ],
)
def test_within_what_nothing_is_decided(name, column, height, diameter, second, doubt):
    assert _read(name, column, height, diameter, second).doubt == D(doubt)


@pytest.mark.parametrize(("sharp", "easy", "free", "loss"), [
    (0, 0, 2, "0"), (2, 0, 2, "0"), (3, 0, 2, "0.10"), (1, 1, 2, "0"), (1, 2, 2, "0.05"), (0, 3, 2, "0.05"), (2, 2, 2, "0.10"), (4, 1, 2, "0.25"), (1, 1, 0, "0.15"),
    (15, 0, 2, "1"),
])  # fmt: skip
def test_elbows(sharp, easy, free, loss):
    assert vent_tables.elbow_loss(D(sharp), D(easy), free=D(free), loss_90=D("0.10"), loss_45=D("0.05")) == D(
        loss
    )


@pytest.mark.parametrize(
    ("length", "over"), [("0", 0), ("4.5", 0), ("4.6", 1), ("9", 1), ("9.01", 2), ("13.5", 2), ("13.6", 3)]
)
def test_further_lengths_of_a_connector(length, over):
    """2012 UPC 510.2.2: 3 in takes 4.5 ft; each further multiple or part of it counts."""
    assert vent_tables.over_length(D(length), D("4.5")) == over


def test_no_allowed_length_has_no_multiples():
    assert vent_tables.over_length(D(3), D(0)) == 0
