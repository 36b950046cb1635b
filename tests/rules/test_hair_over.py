"""A check's sentence never reads on or past its limit what is not: each check's reading a hair over and under its limit.

The long form, every case with every hair: python tests/hair_over.py
"""

from __future__ import annotations

from decimal import Decimal

import pytest

from heaterapp.rules import assess
from tests import hair_over

# Of each check the jobs at its limit, that with the fewest numbers first.
EDGES: dict[str, list[hair_over.Edge]] = {}
for _edge in sorted(hair_over.edges(), key=lambda one: len(one.readings)):
    EDGES.setdefault(_edge.check, []).append(_edge)
NOT_BOTH = {
    "electric.receptacle_protected", "expansion.control_on_closed_system", "place.attic_access", "seismic.sideways_restraint",
    "seismic.strap_material", "supply.prv_holds_setting", "venting.connector_joints",
}  # fmt: skip
"""Checks whose sentence does not have both numbers, or has found and limit in words."""


@pytest.mark.parametrize("check", EDGES)
def test_what_is_printed_stands_on_the_side_of_the_limit_where_it_is(check: str) -> None:
    all_told = (list(hair_over.faults(edge, ("0.0004",))) for edge in EDGES[check])
    told = next((told for told in all_told if told), [])
    assert [fault for fault in told if fault[1]] == []
    assert told or check in NOT_BOTH, "the case tells nothing: take one at its limit whose sentence has both numbers"


@pytest.mark.parametrize(
    ("found", "limit", "side", "verdict", "wrong"),
    [
        (80, 80, 1, "fails", True), (80, 80, -1, "meets", False), (81, 80, -1, "meets", True), (79, 80, 1, "fails", True),
        (81, 80, 1, "fails", False),
    ],
)  # fmt: skip
def test_a_reading_rounded_onto_its_limit_is_seen(found: int, limit: int, side: int, verdict: str, wrong: bool) -> None:
    assert hair_over.wrong_side(Decimal(found), Decimal(limit), side, verdict) == wrong


def test_where_found_and_limit_stand_is_learned_from_the_sentence() -> None:
    said = "The pipe feeds 90,000 Btu/h at 14 3/8 in; it carries 70,500.5 Btu/h."
    assert hair_over.places_of_both(said, Decimal(90000), Decimal("70500.5")) == (0, 2)
    assert hair_over.numbers_in(said) == [Decimal(90000), Decimal("14.375"), Decimal("70500.5")]


def test_a_house_pressure_that_rounds_onto_the_limit_breaks_no_figure() -> None:
    answers = {"place": "model_upc_2024", "heater_kind": "gas_storage", "storage_gal": 50, "thermostat_f": 140, "house_pressure_psi": "79.9996"}
    report = assess(answers).as_json()
    assert not [one for one in report["findings"] if one["verdict"] == "error"]
    assert "79.9996" in report["figures"]["precharge_target_psi"]["worked"]
