"""The heat in the gas: the utility's figure where it was given, else the book's, and said so."""

from __future__ import annotations

from typing import Any

import pytest

from heaterapp.rules import BadAnswer, assess

PIPE = {
    "place": "model_upc_2021", "heater_kind": "gas_instantaneous", "job_kind": "new", "input_btuh": 199000, "elevation_ft": 0,
    "gas_kind": "natural", "gas_pipe_material": "steel", "gas_pipe_in": "0.75", "gas_pipe_length_ft": 30, "gas_pipe_total_btuh": 199000,
}  # fmt: skip


def _capacity(**more: Any) -> dict[str, Any]:
    found: dict[str, Any] = assess({**PIPE, **more}).as_json()["figures"]["gas_pipe_capacity_btuh"]
    return found


def test_left_open_the_book_s_figure_is_taken_and_said_to_be_no_reading() -> None:
    found = _capacity()
    assert found["value"] == "199000"
    assert "1,000 Btu/cu ft = 199,000 Btu/h" in found["worked"]
    assert found["says"] == "1,000 Btu/cu ft is taken as usual: it is not the utility's figure."


@pytest.mark.parametrize(("typed", "value"), [("830", "165170"), ("1,050 Btu/ft3", "208950"), (1100, "218900")])
def test_the_utility_s_figure_is_multiplied_into_the_cell(typed: str | int, value: str) -> None:
    found = _capacity(gas_heat_btu_per_ft3=typed)
    assert found["value"] == value
    assert "says" not in found


def test_by_the_equation_it_is_multiplied_in_too() -> None:
    # between the printed drops the equation rules: in proportion to the heat in the gas
    of_1000 = int(_capacity(gas_pressure_drop_inwc="0.4", gas_heat_btu_per_ft3=1000)["value"])
    of_900 = int(_capacity(gas_pressure_drop_inwc="0.4", gas_heat_btu_per_ft3=900)["value"])
    assert abs(of_900 - of_1000 * 0.9) < 1


def test_propane_is_not_asked_for_it() -> None:
    plain = _capacity(gas_kind="propane", gas_supply_pressure_psi="0.4")
    assert _capacity(gas_kind="propane", gas_supply_pressure_psi="0.4", gas_heat_btu_per_ft3=830) == plain
    assert "taken as usual" not in plain.get("says", "")


@pytest.mark.parametrize("typed", [499, 1501, "1000/2"])
def test_a_figure_that_no_gas_has_is_refused_by_name(typed: int | str) -> None:
    with pytest.raises(BadAnswer) as refused:
        assess({**PIPE, "gas_heat_btu_per_ft3": typed})
    assert refused.value.key == "gas_heat_btu_per_ft3"
