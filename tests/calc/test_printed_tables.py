"""The table files: whole, sourced, and saying how sure each row is."""

import datetime
import tomllib
from decimal import Decimal as D
from importlib.resources import files

import pytest

from heaterapp.rules.calc.printed import row_up_to, row_where

SURE = {"read", "two_sources", "carried", "derived", "memory", "practice"}
FOLDER = files("heaterapp.rules").joinpath("codes", "tables")
NAMES = sorted(path.name.removesuffix(".toml") for path in FOLDER.iterdir() if path.name.endswith(".toml"))


def table(name):
    return tomllib.loads(FOLDER.joinpath(f"{name}.toml").read_text(encoding="utf-8"), parse_float=D)


def test_there_are_tables():
    assert len(NAMES) >= 19


@pytest.mark.parametrize("name", NAMES)
def test_a_table_says_what_it_is_and_where_it_was_read(name):
    data = table(name)
    for key in ("title", "cited_as", "from", "unit"):
        assert isinstance(data[key], str)
        assert data[key]
    assert data["read"]["where"]
    assert isinstance(data["read"]["on"], datetime.date)
    assert data["read"]["confidence"] in SURE
    assert data["rows"]


@pytest.mark.parametrize("name", NAMES)
def test_rows_are_distinct_and_their_confidence_is_a_known_word(name):
    data = table(name)
    columns = data.get("columns")
    rows = [row if columns is None else dict(zip(columns, row, strict=True)) for row in data["rows"]]
    assert len({tuple(sorted((k, str(v)) for k, v in row.items())) for row in rows}) == len(rows)
    for row in rows:
        assert {value for key, value in row.items() if key.endswith("confidence") and key != "cells_confidence"} <= SURE
        assert set(row.get("cells_confidence", "")) <= set("TRMD")
        assert not any(isinstance(value, float) for value in row.values())


# What was never opened must say so: such a row may not fail a job.
@pytest.mark.parametrize(
    ("name", "cells"),
    [
        ("ampacity_aluminum", {"awg": 10}),
        ("strap_steel", {}),
        ("dry_weights", {"up_to_gal": 75}),
        ("clearance_reduction", {"shield": "masonry_3_5in_air_space", "required_in": 18}),
        ("clearance_reduction", {"shield": "sheet_metal_24ga_air_space", "required_in": 12}),
        ("wall_terminal_distances", {"measure": "regulator_vent_up_to_2_psi"}),
        ("sheet_gauges", {"gauge": 18}),
    ],
)
def test_what_is_from_memory_is_marked(name, cells):
    data = table(name)
    assert row_where(data["rows"], **cells).get("confidence", data["read"]["confidence"]) == "memory"


# NEC 2023 Table 310.16 as printed at wiresizes.com and intrysys.com.
@pytest.mark.parametrize(
    ("awg", "amperes"),
    [(14, (15, 20, 25)), (12, (20, 25, 30)), (10, (30, 35, 40)), (8, (40, 50, 55)), (6, (55, 65, 75)),
     (4, (70, 85, 95))],
)  # fmt: skip
def test_copper_ampacity(awg, amperes):
    row = row_where(table("ampacity_copper")["rows"], awg=awg)
    assert (row["at_60c_a"], row["at_75c_a"], row["at_90c_a"]) == amperes


def test_aluminum_carries_less_than_copper_of_the_same_size():
    copper = table("ampacity_copper")["rows"]
    for row in table("ampacity_aluminum")["rows"]:
        same = row_where(copper, awg=row["awg"])
        for column in ("at_60c_a", "at_75c_a", "at_90c_a"):
            assert row[column] < same[column]


def test_standard_breakers_leave_out_what_is_not_made():
    # NEC 240.6(A): 55, 65, 75 and 85 are not in the list.
    ratings = [row["rating_a"] for row in table("standard_breakers")["rows"]]
    assert ratings == sorted(ratings)
    assert not {55, 65, 75, 85} & set(ratings)
    assert row_up_to(table("standard_breakers")["rows"], "rating_a", D("31.25"))["rating_a"] == 35


# The agency's times as quoted at lincolnpedi.com/2010/04: seconds, adult.
@pytest.mark.parametrize(("hot", "seconds"), [(120, 300), (125, 30), (130, 30), (140, 6), (150, 2)])
def test_scald_times(hot, seconds):
    assert row_up_to(table("scald_seconds")["rows"], "temperature_f", D(hot))["seconds"] == seconds


# 2013 California Plumbing Code Table 501.1.
@pytest.mark.parametrize(
    ("baths", "bedrooms", "gallons"),
    [("1", 1, 42), ("1", 2, 54), ("2", 2, 54), ("2", 4, 67), ("2", 5, 80), ("3", 3, 67), ("3", 6, 80)],
)
def test_first_hour_rating(baths, bedrooms, gallons):
    row = row_where(table("first_hour_rating")["rows"], baths_from=D(baths), bedrooms=bedrooms)
    assert row["gallons"] == gallons


# UPC 509.8: inches.
@pytest.mark.parametrize(
    ("vent", "measure", "inches"),
    [("power_vent", "below_opening", 48), ("power_vent", "beside_opening", 48),
     ("power_vent", "above_opening", 12),
     ("power_vent", "above_grade", 12), ("direct_vent", "above_grade", 12),
     ("mechanical_draft", "above_forced_inlet", 36),
     ("mechanical_draft", "above_ground_beside_walkway", 84),
     ("mechanical_draft", "neighbour_opening_within", 120)],
)  # fmt: skip
def test_wall_terminal_distances(vent, measure, inches):
    row = row_where(table("wall_terminal_distances")["rows"], vent=vent, measure=measure)
    assert row["distance_in"] == inches


def test_the_caps_of_small_aluminum_wires_were_read():
    # footnote on 240.4(D) under a published wire table: 15 A for 12 AWG and 25 A for 10 AWG aluminum
    caps = table("small_conductor_caps")
    rows = [row for row in caps["rows"] if row["metal"] == "aluminum"]
    assert [(row["awg"], row["breaker_a"]) for row in rows] == [(12, 15), (10, 25)]
    assert {row.get("confidence", caps["read"]["confidence"]) for row in rows} == {"two_sources"}
