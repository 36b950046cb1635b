"""The gas pipe's tables and equation, against each other and against worked examples."""

from __future__ import annotations

from decimal import Decimal as D

import pytest

from heaterapp.rules import book
from heaterapp.rules.calc import gas
from tests.grids import some

DIAMETERS = {row["pipe_in"]: row["inside_in"] for row in book.table("schedule40_diameters").rows}
NATURAL, PROPANE = D("0.6094"), D("1.2462")
TABLES = {D("0.5"): book.table("gas_pipe_natural_05"), D("0.3"): book.table("gas_pipe_natural_03")}
SIZING = gas.Sizing(
    TABLES[D("0.5")].rows, TABLES[D("0.3")].rows, book.table("gas_pipe_propane_11").rows, book.table("schedule40_diameters").rows,
    D("0.5"), D("0.3"), (NATURAL, PROPANE), (D(1000), D(2500)), (D("0.994"), D("0.988")),
)  # fmt: skip


def _float(inside: D, length: D, drop: D, factor: D) -> float:
    """The equation written a second time, in floating point."""
    slope = (float(drop) / (float(factor) * float(length))) ** 0.206
    return (19.17 * float(inside) * slope) ** (1 / 0.381)


@pytest.mark.parametrize("drop", TABLES)
def test_every_cell_of_the_natural_gas_tables_is_the_equation_scaled(drop):
    """0.994 x the equation, to the three figures printed: 1.2 percent at the most, in cells of two figures."""
    for row in TABLES[drop].rows:
        worked = D("0.994") * gas.flow(DIAMETERS[row["pipe_in"]], row["length_ft"], drop, NATURAL)
        assert abs(worked / row["cfh"] - 1) < D("0.012"), row
        half = D("0.5") if row["cfh"] < 1000 else D(5)
        assert abs(worked - row["cfh"]) <= half + D("0.004") * worked, row


def test_every_propane_cell_to_60_ft_is_the_equation_scaled():
    """0.988 x the equation at 2,500 Btu/ft3: within one percent in every cell that is held."""
    for row in book.table("gas_pipe_propane_11").rows:
        worked = (
            D("0.988") * D("2.5") * gas.flow(DIAMETERS[row["pipe_in"]], row["length_ft"], D("0.5"), PROPANE)
        )
        assert abs(worked / row["thousand_btuh"] - 1) < D("0.011"), row


@pytest.mark.parametrize(("printed_ft", "cells", "really_ft"), [(80, (101, 212), 70), (100, (94, 197), 80)])
def test_the_propane_rows_that_are_not_held_are_those_of_shorter_pipes(printed_ft, cells, really_ft):
    """2018 IFGC Table 402.4(28), printed page 72, 1/2 and 3/4 in: the rows printed 80 and 100 ft equal the equation at 70 and 80."""
    for size, cell in zip((D("0.5"), D("0.75")), cells, strict=True):
        flow = [
            gas.flow(DIAMETERS[size], D(ft), D("0.5"), PROPANE) * D("2.47") for ft in (really_ft, printed_ft)
        ]
        assert abs(flow[0] / cell - 1) < D("0.006")
        assert flow[1] / cell < D("0.95")


@pytest.mark.parametrize(
    ("inside", "length", "drop", "factor"),
    [("0.622", 40, "0.5", "0.6094"), ("4.026", 10, "3", "0.6094"), ("1.049", 333, "0.3", "1.2462")],
)
def test_the_equation_against_a_second_writing(inside, length, drop, factor):
    given = (D(inside), D(length), D(drop), D(factor))
    assert abs(float(gas.flow(*given)) / _float(*given) - 1) < 1e-12


@pytest.mark.parametrize(("size", "drop"), [("0.5", "2.59"), ("0.75", "0.66"), ("1", "0.20")])
def test_what_a_tankless_of_199_cfh_drops_in_40_ft(size, drop):
    """Worked: 2.59 in. w.c. in 1/2 in, 0.66 in 3/4 in, 0.20 in 1 in; the equation turned round, to a hundredth."""
    flow = gas.flow(DIAMETERS[D(size)], D(40), D(drop), NATURAL)
    assert abs(flow / 199 - 1) < D("0.014")


@pytest.mark.parametrize(
    ("size", "length", "propane", "drop", "by", "value"),
    [
        ("0.75", 40, False, "0.5", "cell", 170_000),
        ("0.75", "40.1", False, "0.5", "cell", 151_000),  # the next longer row, 50 ft
        ("0.75", 10, False, "0.3", "cell", 273_000),
        ("0.5", 60, True, "0.5", "cell", 110_000),
        ("2", 60, True, "0.5", "cell", 2_570_000),
    ],
)
def test_a_printed_cell_is_read_where_there_is_one(size, length, propane, drop, by, value):
    found = gas.section(SIZING, pipe_in=D(size), length_ft=D(str(length)), propane=propane, drop_inwc=D(drop))
    assert (found.by, found.value) == (by, value)


@pytest.mark.parametrize(("length", "thousand"), [(80, 94), (100, 84), (125, 74), (150, 67), (200, 57)])
def test_propane_past_60_ft_goes_by_the_equation(length, thousand):
    """Worked for 1/2 in pipe, rounded to the thousand."""
    found = gas.section(SIZING, pipe_in=D("0.5"), length_ft=D(length), propane=True, drop_inwc=D("0.5"))
    assert found.by == "equation"
    assert round(found.value / 1000) == thousand


def test_another_drop_goes_by_the_equation_and_no_diameter_has_none():
    found = gas.section(SIZING, pipe_in=D(1), length_ft=D(30), propane=False, drop_inwc=D("0.4"))
    assert (found.by, found.sure) == ("equation", "derived")
    low, high = (TABLES[D(d)].rows for d in ("0.3", "0.5"))
    cells = [
        next(r["cfh"] for r in rows if (r["pipe_in"], r["length_ft"]) == (1, 30)) for rows in (low, high)
    ]
    assert cells[0] < found.value / 1000 < cells[1]
    assert gas.section(SIZING, pipe_in=D("0.375"), length_ft=D(30), propane=False, drop_inwc=D("0.5")) is None
    assert (
        gas.section(SIZING, pipe_in=D(1), length_ft=D(30), propane=True, drop_inwc=D("0.3")).by == "equation"
    )


def test_a_memory_row_says_so():
    found = gas.section(SIZING, pipe_in=D(1), length_ft=D(65), propane=False, drop_inwc=D("0.5"))
    assert (found.row_ft, found.sure) == (70, "memory")


@pytest.mark.parametrize("at", range(4))
def test_an_argument_that_cannot_be_is_named(at):
    given = [D(1), D(1), D(1), D(1)]
    given[at] = D(0)
    name = ("inside_in", "length_ft", "drop_inwc", "gas_factor")[at]
    with pytest.raises(ValueError, match=f"{name} must be more than 0"):
        gas.flow(*given)


DROPS = [
    D(drop)
    for drop in "0.1 0.15 0.2 0.25 0.29 0.3 0.301 0.31 0.35 0.4 0.45 0.49 0.499 0.5 0.501 0.6 1".split()
]
# Every third; all under WHOLE_GRIDS.
LENGTHS = some(sorted({D(ft) + off for ft in range(10, 251, 10) for off in (D(0), D("0.5"))}), 3)


@pytest.mark.parametrize("propane", [False, True])
def test_less_drop_more_length_or_a_smaller_size_never_carries_more(propane):
    drops, sizes = DROPS, sorted(DIAMETERS)
    carried = {
        (drop, length, size): gas.section(
            SIZING, pipe_in=size, length_ft=length, propane=propane, drop_inwc=drop
        ).value
        for drop in drops
        for length in LENGTHS
        for size in sizes
    }
    for (drop, length, size), value in carried.items():
        for less in drops[max(drops.index(drop) - 1, 0) : drops.index(drop)]:
            assert carried[less, length, size] <= value, (less, drop, length, size)
        for shorter in LENGTHS[max(LENGTHS.index(length) - 1, 0) : LENGTHS.index(length)]:
            assert carried[drop, shorter, size] >= value, (drop, shorter, length, size)
        for smaller in sizes[max(sizes.index(size) - 1, 0) : sizes.index(size)]:
            assert carried[drop, length, smaller] <= value, (drop, length, smaller, size)


@pytest.mark.parametrize(
    ("size", "length", "propane", "drop", "value", "row", "table"),
    [
        ("0.75", 11, False, "0.49", 247_000, 20, "0.5"),
        ("0.75", 11, False, "0.29", 188_000, 20, "0.3"),
        ("0.5", 90, False, "0.301", 40_000, 90, "0.3"),
        ("0.5", 11, True, "0.49", 200_000, 20, "0.5"),
    ],
)
def test_another_drop_keeps_between_the_tables(size, length, propane, drop, value, row, table):
    """Table 402.4(2): 20 ft, 3/4 in, 247; 402.4(1): 188, and 90 ft, 1/2 in, 40; 402.4(28): 20 ft, 1/2 in, 200."""
    found = gas.section(SIZING, pipe_in=D(size), length_ft=D(length), propane=propane, drop_inwc=D(drop))
    assert (found.value, found.row_ft, found.drop_inwc) == (value, row, D(table))


@pytest.mark.parametrize("length", ["200.1", "201", "205"])
def test_past_the_last_row_a_pipe_carries_no_more_than_it(length):
    """Table 402.4(2), 200 ft; the equation alone begins above it in every size, as the print is rounded."""
    for row in (row for row in TABLES[D("0.5")].rows if row["length_ft"] == 200):
        found = gas.section(
            SIZING, pipe_in=row["pipe_in"], length_ft=D(length), propane=False, drop_inwc=D("0.5")
        )
        assert found.value <= row["cfh"] * 1000, row
        if length == "200.1":
            assert (found.value, found.row_ft, found.sure) == (row["cfh"] * 1000, 200, "memory")


@pytest.mark.parametrize(("sure", "doubt"), [("memory", "5970"), ("printed", "0"), ("derived", "0")])
def test_only_a_cell_from_memory_leaves_a_doubt(sure: str, doubt: str) -> None:
    # the 3 % within which judgement.md decides nothing, of 199,000
    carries = gas.Carries(D(199000), "cell", D(30), sure, D("0.5"))
    assert carries.doubt == D(doubt)
