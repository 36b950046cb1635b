"""Burn times through the whole engine against the published figures, and what is never claimed beyond them.

The consumer product safety agency's times for a third-degree burn of adult skin, as quoted
at lincolnpedi.com (2010/04) and 2024.hotenda.com (ask/1581): 120 F 5 min, 130 F 30 s,
140 F 6 s, 150 F 2 s. Another published set (Moritz and Henriques family, a hospital's page)
has 10 min at 120 F and 5 s at 140 F; the agency's is used, and said to be an adult's.
"""

from __future__ import annotations

from decimal import Decimal
from typing import Any

import pytest

from heaterapp.rules import place_names
from tests import alone

PUBLISHED = {120: 300, 130: 30, 140: 6, 150: 2}
PLACES = sorted(set(place_names().values()))


def _scald(place: str = "model_upc_2021", **answers: Any) -> dict[str, Any] | None:
    return alone.figures_of({"place": place, **answers}).get("scald_seconds")


@pytest.mark.parametrize("place", PLACES)
@pytest.mark.parametrize("hot", PUBLISHED)
def test_each_published_row(place: str, hot: int) -> None:
    shown = _scald(place, thermostat_f=hot)
    assert shown is not None
    assert shown["value"] == str(PUBLISHED[hot])
    assert "next hotter row" not in shown["says"]
    assert "adult" in shown["says"]
    assert "child sooner" in shown["says"]


@pytest.mark.parametrize(
    ("hot", "row"), [("120.1", 130), ("125", 130), ("130.1", 140), ("139.9", 140), ("145", 150)]
)
def test_between_two_rows_the_hotter_one_is_used_and_named(hot: str, row: int) -> None:
    shown = _scald(thermostat_f=hot)
    assert shown is not None
    assert shown["value"] == str(PUBLISHED[row])
    assert f"next hotter row, {row} F" in shown["says"]


@pytest.mark.parametrize("hot", ["70", "119.9"])
def test_below_the_table_no_time_is_claimed(hot: str) -> None:
    shown = _scald(thermostat_f=hot)
    assert shown is not None
    assert shown["value"] is None
    assert "below 120 F the table gives no time" in shown["says"]


@pytest.mark.parametrize("hot", ["150.1", "180", "210"])
def test_above_the_table_only_its_last_row_is_said(hot: str) -> None:
    shown = _scald(thermostat_f=hot)
    assert shown is not None
    assert shown["value"] is None
    assert "less than 2 s" in shown["says"]


def test_a_hotter_outlet_never_shows_a_longer_time() -> None:
    times = [_scald(thermostat_f=hot) for hot in range(120, 151)]
    seconds = [Decimal(one["value"]) for one in times if one is not None]
    assert len(seconds) == 31
    assert seconds == sorted(seconds, reverse=True)


def test_the_hottest_water_that_may_reach_the_tap_decides() -> None:
    hot = {"thermostat_f": 150, "outlet_temperature_f": 140}
    told = [
        _scald(thermostat_f=150),
        _scald(**hot),
        _scald(**hot, mixing_valve_fitted="no"),
        _scald(thermostat_f=140, outlet_temperature_f=150, mixing_valve_fitted="no"),
        _scald(thermostat_f=150, outlet_temperature_f=125, mixing_valve_fitted="yes", mixed_outlet_f=130),
        _scald(**hot, mixing_valve_fitted="yes", mixed_outlet_f=130),
    ]
    assert [one and one["value"] for one in told] == ["2", "2", "2", "2", "30", "6"]
    assert [
        word in str(one)
        for word, one in zip(("as set", "as set", "as set", "at a tap", "at the mixing valve", "at a tap"), told, strict=True)
    ] == [True] * 6


def test_a_mixing_valve_whose_setting_is_not_told_gives_no_time_yet() -> None:
    assert _scald(thermostat_f=150, mixing_valve_fitted="yes") is None
    assert _scald() is None
