"""A size is named where a dwelling's tank is sold in it; where the relief valve opens, that is the pressure."""

from __future__ import annotations

from typing import Any

import pytest

from heaterapp.certificate.figures import figures_of
from heaterapp.rules import Job, assess
from tests import alone

BASE = {
    "place": "model_upc_2024", "heater_kind": "gas_storage", "storage_gal": 50, "thermostat_f": 140, "cold_inlet_f": 50,
    "relief_pressure_psi": 150, "prv_fitted": "yes", "expansion_device": "tank", "expansion_tank_gal": 2, "precharge_psi": 60,
    "house_pressure_psi": 60,
}  # fmt: skip
NEEDED, TARGET = "expansion_tank_needed_gal", "precharge_target_psi"
AT_TWENTY, OVER = "76.022", "76.023"
"""0.84 gal x (80 + 14.696) / (80 - 76.022) = 19.997 gal; / (80 - 76.023) = 20.002 gal."""


def _figures(**changes: Any) -> dict[str, Any]:
    told = {**BASE, **changes}
    return alone.figures_of({name: one for name, one in told.items() if one is not None})


def test_the_largest_usual_size_is_named_and_a_hair_more_is_none() -> None:
    assert _figures(house_pressure_psi=AT_TWENTY)[NEEDED]["value"] == "20.0"
    over = _figures(house_pressure_psi=OVER)[NEEDED]
    assert over["value"] is None
    assert over["says"] == "No tank of a usual size keeps to 80 psi: lower the house pressure."


def test_a_tank_that_is_there_and_large_enough_is_not_told_that_none_is() -> None:
    assert _figures(house_pressure_psi=77, expansion_tank_gal=30)[NEEDED]["value"] == "26.6"
    assert _figures(house_pressure_psi=77, expansion_tank_gal=26)[NEEDED]["value"] is None
    assert _figures(house_pressure_psi=77, expansion_tank_gal=30, expansion_device="none")[NEEDED]["value"] is None


@pytest.mark.parametrize("house", ["79.99", "80.04", "79.9996"])
def test_a_house_pressure_beside_the_limit_is_one_number(house: str) -> None:
    figures = _figures(house_pressure_psi=house, precharge_air_f=65, installed_air_f=65)
    assert figures[TARGET]["value"] == house
    assert figures[TARGET]["worked"] == f"house pressure, measured: {house} psi"
    gauge = figures["precharge_at_air_f_psi"]
    assert gauge["value"] == house
    assert gauge["worked"] in ("", f"set where it hangs: {house} psi")


def test_elsewhere_it_stands_as_it_was_typed_for_what_is_worked_from_it() -> None:
    figures = _figures(house_pressure_psi="79.44")
    assert figures[TARGET]["value"] == "79.44"
    assert "(79.44 + 14.696)" in figures["peak_pressure_as_recommended_psi"]["worked"]
    assert _figures(house_pressure_psi="60")[TARGET]["value"] == "60.0"


def test_over_the_relief_setting_the_setting_is_the_pressure_and_the_rest_what_it_would_be() -> None:
    report = assess(Job({**BASE, "storage_gal": 80, "cold_inlet_f": 40}).canonical()).as_json()
    peak = report["figures"]["peak_pressure_psi"]
    assert peak["held_at"] == "150"
    assert peak["value"] == "220.6"
    (shown,) = [one for one in figures_of(report) if one.label == "Pressure when hot, tank as set"]
    assert (shown.value, shown.unit.strip()) == ("150", "psi")
    assert shown.worked.replace("\u00a0", " ").endswith("= 220.6 psi, rounded up")
    assert shown.says.startswith("The relief valve opens at 150\u00a0psi.")


def test_an_open_system_has_no_pressure_when_hot_and_needs_no_tank() -> None:
    opened = {"prv_fitted": "no", "check_valve_upstream": "no", "backflow_preventer_upstream": "no"}
    figures = _figures(**opened)
    for name in ("peak_pressure_psi", "peak_pressure_as_recommended_psi", "acceptance_used_gal", NEEDED):
        assert figures[name]["value"] is None
        assert figures[name]["says"].startswith("The system is open: ")
    asked = _figures(**opened, place="port_larkin")
    assert asked["peak_pressure_psi"]["value"], "where every heater has a tank, it is held to what it would take"
