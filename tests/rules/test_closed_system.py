"""What closes a system, answer by answer, and a bypass where a place lets it count."""

from __future__ import annotations

from itertools import product
from typing import Any

import pytest

from heaterapp.rules import assess, place_names
from heaterapp.rules.figures.water import closed_system
from heaterapp.sheet.draw import pressure_words
from tests import alone

VALVES = ("prv_fitted", "check_valve_upstream", "backflow_preventer_upstream")
SAID = {"y": "yes", "n": "no", "?": "unknown"}


def _closed(**answers: Any) -> Any:
    return alone.figures_of({"place": "model_upc_2021", **answers}).get("closed_system")


@pytest.mark.parametrize("told", ["".join(one) for one in product("yn?-", repeat=3)])
@pytest.mark.parametrize("rises", ["yes", "no", "not_tried", None])
def test_every_way_the_three_valves_can_be_answered(told: str, rises: str | None) -> None:
    answers = {name: SAID[one] for name, one in zip(VALVES, told, strict=True) if one != "-"}
    shown = _closed(**answers, pressure_rises_on_heating=rises)
    if "y" in told or rises == "yes":
        assert shown["value"] == "yes"
        assert shown["says"].startswith("Closed")
    elif "-" in told or told[0] == "?":  # a reducing valve can be looked for; a check valve may be out of sight
        assert shown is None
    elif "?" in told:
        assert shown["value"] == "unknown"
        assert "Could not be seen" in shown["says"]
    else:
        assert shown["value"] == "no"


def test_all_that_closes_it_is_named() -> None:
    says = _closed(prv_fitted="yes", check_valve_upstream="yes", backflow_preventer_upstream="no")["says"]
    assert says == "Closed by a reducing valve, a check valve."


@pytest.mark.parametrize("place", sorted(set(place_names().values())))
def test_no_book_here_lets_a_bypass_open_the_system(place: str) -> None:
    told = dict.fromkeys(VALVES[1:], "no")
    assert _closed(place=place, prv_fitted="yes", prv_bypass="yes", **told)["value"] == "yes"


@pytest.mark.parametrize(
    ("bypass", "check_valve", "place_says", "closed"),
    [
        (True, "no", True, "no"),
        (True, "no", None, "yes"),
        (True, "no", False, "yes"),
        (False, "no", True, "yes"),
        (None, "no", True, "yes"),
        (True, "yes", True, "yes"),  # what stands behind the valve closes it all the same
        (True, "unknown", True, "unknown"),
    ],
)
def test_a_bypass_opens_only_where_the_place_says_so(
    bypass: bool | None, check_valve: Any, place_says: bool | None, closed: str
) -> None:
    work: Any = closed_system.work
    told = work("yes", check_valve, "no", bypass, bypass_opens=place_says)
    assert told.value == closed


OPEN = {
    "heater_kind": "gas_storage", "storage_gal": 40, "thermostat_f": 120, "house_pressure_psi": 60, "prv_fitted": "no",
    "check_valve_upstream": "no", "backflow_preventer_upstream": "no", "expansion_device": "none",
}  # fmt: skip


@pytest.mark.parametrize(
    ("more", "needed"),
    [
        ({}, False), ({"expansion_device": "tank"}, False), ({"prv_fitted": "yes"}, True), ({"check_valve_upstream": "unknown"}, True),
        ({"place": "model_irc_2021"}, False), ({"place": "port_larkin"}, True),
    ],
)  # fmt: skip
def test_no_tank_is_needed_where_the_system_is_open_fitted_or_not(more: dict[str, str], needed: bool) -> None:
    told = alone.figures_of({"place": "us_ca_2022", **OPEN, **more})["expansion_tank_needed_gal"]
    assert (told["value"] is not None) == needed
    assert (told["says"] == "The system is open: no tank is needed.") != needed


@pytest.mark.parametrize("over", [{"house_pressure_psi": "80.5"}, {"street_pressure_psi": 95}], ids=str)
def test_no_tank_is_said_to_be_spared_while_a_reducing_valve_is_asked_for(over: dict[str, Any]) -> None:
    told = {"place": "us_ca_2022", **OPEN, **over}
    said = alone.figures_of(told)["expansion_tank_needed_gal"]["says"]
    assert said.startswith("The reducing valve that is asked for closes the system")
    fix, control = alone.findings_of(told, "supply.prv_where_needed", "expansion.control_on_closed_system")
    assert (fix.verdict, control.verdict) == ("fails", "not_applicable")
    assert "until the reducing valve" in control.why
    fitted = {**told, "prv_fitted": "yes", "house_pressure_psi": 75, "street_pressure_psi": 95}
    (next_visit,) = alone.findings_of(fitted, control.check)
    assert next_visit.verdict == "fails"
    assert f"It closes the system: fit an expansion tank or other listed device with it, on its house side ({next_visit.section})." in fix.fix


@pytest.mark.parametrize("place", ["us_ca_2022", "model_irc_2021", "port_larkin"])
@pytest.mark.parametrize("closed", ["yes", "unknown"])
def test_no_tank_is_asked_where_another_listed_device_takes_the_expansion(place: str, closed: str) -> None:
    device = {"place": place, "expansion_device": "other_listed", "check_valve_upstream": closed}
    told = {**OPEN, **device, "relief_pressure_psi": 150}
    report = assess(told).as_json()
    tank = report["figures"]["expansion_tank_needed_gal"]
    assert (tank["value"], tank["says"]) == (None, "Not needed: the listed device takes the expansion.")
    assert pressure_words(told, report) == [], "what another device lets the pressure do is its maker's to say"
    assert (pressure_words({**told, "expansion_device": "none"}, assess({**told, "expansion_device": "none"}).as_json()) != []) == (closed == "yes")
