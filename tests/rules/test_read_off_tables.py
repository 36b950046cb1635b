"""What is read off a printed table names table, column, size and cells: an inspector finds each of them again."""

from __future__ import annotations

import json
import re
from decimal import Decimal
from pathlib import Path
from typing import Any

import pytest

from heaterapp.rules import place
from tests import alone

JOBS = Path(__file__).parents[1] / "jobs"
PLACED = re.compile(r"IFGC Table [0-9.]+\([0-9]+\)")


def _job(name: str, **more: Any) -> dict[str, Any]:
    return {**json.loads((JOBS / f"{name}.json").read_text("utf-8"))["answers"], **more}


def _vent(**more: Any) -> dict[str, Any]:
    found: dict[str, Any] = alone.figures_of(_job("gas_storage_upc_2021", **more))["vent_capacity_btuh"]
    return found


def test_a_capacity_between_four_cells_names_them_in_the_order_of_the_table() -> None:
    one = _vent(vent_height_ft="11", vent_lateral_ft="3", vent_diameter_in=4, connector_diameter_in=3)
    assert one["worked"].startswith("IFGC Table 504.2(2), NAT MAX, 3 in, the connector being smaller, between the cells")
    assert "height 10 and 15 ft, lateral 2 and 5 ft" in one["worked"]
    (cells,) = re.findall(r"\(([0-9, ]+ / [0-9, ]+)\)", one["worked"])
    low, high = ([Decimal(cell) for cell in at.split(", ")] for at in cells.split(" / "))
    between = [near + (far - near) / 3 for near, far in (low, high)]
    value = 1000 * (between[0] + (between[1] - between[0]) / 5)
    assert abs(Decimal(one["value"]) - value) <= 1
    grid = place("model_upc_2021").clauses["vent_sizing.single"].values["single_wall_table"]
    printed = {(row["height_ft"], row["lateral_ft"]): row["nat_max"] for row in grid.rows if row["diameter_in"] == 3}
    assert [*low, *high] == [printed[at] for at in ((10, 2), (10, 5), (15, 2), (15, 5))]


def test_the_vent_s_own_size_is_told_where_it_decides() -> None:
    assert ", 3 in, the cell" in _vent(vent_height_ft="10", vent_lateral_ft="2", vent_diameter_in=3, connector_diameter_in=3)["worked"]


@pytest.mark.parametrize("name", ["gas_storage_fan_assisted_irc_2015", "gas_tankless_outdoors_irc_2015"])
def test_a_gas_pipe_s_cell_times_its_heat_is_its_capacity(name: str) -> None:
    one = alone.figures_of(_job(name))["gas_pipe_capacity_btuh"]
    assert PLACED.search(one["worked"])
    assert re.search(r", row [0-9]+ ft", one["worked"])
    cell = re.search(r": ([0-9,]+) (?:cu ft an hour, \1 x ([0-9,]+) Btu/cu ft|thousand) = ", one["worked"])
    assert cell is not None
    told, heat = (Decimal((part or "1000").replace(",", "")) for part in cell.groups())
    assert told * heat == Decimal(one["value"])
