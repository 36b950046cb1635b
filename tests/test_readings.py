"""A reading taken in metric or in thirds is read with few digits, the same everywhere, and never across its limit."""

from __future__ import annotations

import json
import re
from decimal import Decimal
from html import unescape
from pathlib import Path
from typing import Any

import pytest

from heaterapp.certificate.keys import keys_of
from heaterapp.homeowner.said import inches, number_of
from heaterapp.rules import Job, assess
from heaterapp.sheet.answered import told
from heaterapp.sheet.bounds import in_print, reading
from heaterapp.sheet.brief import as_read
from heaterapp.sheet.draw import straps_words
from heaterapp.sheet.draw.shapes import asked_taped, found_taped
from heaterapp.sheet.live import live
from heaterapp.sheet.turning import turning
from heaterapp.web.recorded import said_line
from tests.hair_over import numbers_in

METRIC = {
    "strap_heights_in": ["914 mm", "1727 mm"], "house_pressure_psi": "4.1 bar", "precharge_psi": "410 kPa",
    "relief_end_height_in": "300 mm",
}  # fmt: skip


@pytest.fixture(scope="module")
def metric() -> tuple[dict[str, Any], dict[str, Any]]:
    """The answers of a gas heater read in metric, and their report."""
    file = Path(__file__).parent / "jobs" / "gas_storage_us_ca.json"
    answers = Job({**json.loads(file.read_text(encoding="utf-8"))["answers"], **METRIC}).canonical()
    return answers, assess(answers).as_json()


def test_metric_readings_are_the_same_few_digits_on_paper_page_and_phone(metric: Any) -> None:
    answers, report = metric
    assert len(answers["house_pressure_psi"]) > 20, "kept as exactly as it was judged"
    keys = {key.label: key.value for key in keys_of(answers, report)}
    assert keys["House pressure"] == "59.5"
    assert keys["Straps from the floor"] == "35.98, 67.99"
    for name in ("house_pressure_psi", "precharge_psi"):
        assert told(answers, name) == said_line(name, answers[name])[1] == "59.5 psi"
        assert number_of(answers[name], "psi") == "59.5"
    assert inches(answers["strap_heights_in"], "en") == "35.98 and 67.99 inches"
    assert said_line("strap_heights_in", answers["strap_heights_in"])[1] == "35.98 in, 67.99 in"
    by_check = {one["check"]: one for one in report["findings"] if one["kind"] == "rule"}
    lower = by_check["seismic.lower_strap_in_lower_third"]
    assert in_print(lower["found"], lower["limit"], "in")[0] == "35.98 in"
    pressure = by_check["supply.pressure_within_limit"]
    assert in_print(pressure["found"], pressure["limit"], "psi") == ("59.5 psi", "80 psi")
    assert "Straps found at 35.98, 67.99 in." in straps_words(answers, report)
    # on the phone, where a finding is said: in no tail of digits, whatever is said
    strip = " ".join(unescape(html) for html in live(answers, report)["said"].values())
    assert not re.search(r"\d\.\d{4,}", re.sub(r"<[^>]*>", " ", strip))


@pytest.mark.parametrize(
    ("value", "unit", "read"),
    [
        ("80.04", "psi", "80.04 psi"), ("79.96", "psi", "79.96 psi"),
        ("80.00000000000000000000000001", "psi", "80.00000000000000000000000001 psi"),
        ("36.33333333333333333333333333", "in", "36.33 in"), ("37.250041", "in", "37.25004 in"),
        ("14.0625", "in", "14 1/16 in"), ("120.02", "degF", "120.02 °F"), ("2.125", "gal", "2.125 gal"),
        ("3.333333333333", "in. w.c.", "3.333 in. w.c."), ("40000", "Btu/h", "40,000 Btu/h"),
        ("0.25", "psi", "0.25 psi"), ("0.0833333333333", "ft", "0.083 ft"),
    ],
)  # fmt: skip
def test_no_reading_is_read_as_a_rounder_number_than_it_is(value: str, unit: str, read: str) -> None:
    assert reading(value, unit) == read
    exact, brief = Decimal(value), as_read(Decimal(value), unit)
    for limit in (Decimal(80), Decimal("37.25"), Decimal(120)):
        assert (brief > limit) - (brief < limit) == (exact > limit) - (exact < limit)


@pytest.mark.parametrize(
    ("found", "limit", "read"),
    [
        ("37.334", "34 3/4 to 37.33", "37.334 in"), ("37.334", "34 3/4 to 37 1/4", "37.33 in"),
        ("35.984", "36", "35.98 in"), ("35.996", "36", "35.996 in"), ("35.984", "35.98", "35.984 in"),
    ],
)  # fmt: skip
def test_a_height_beside_its_limit_is_on_the_side_where_it_was_measured(
    found: str, limit: str, read: str
) -> None:
    assert in_print(found, limit, "in")[0] == read


@pytest.mark.parametrize("burns", ["76999.8", "76999.6", "77000"])
def test_what_a_vent_carries_is_told_down_and_never_past_what_burns_on_it(burns: str) -> None:
    vent = {
        "place": "model_upc_2021", "vent_height_ft": "9.9999", "vent_lateral_ft": 5, "vent_diameter_in": 4, "draft_hood_outlet_in": 4,
        "connector_diameter_in": 4, "connector_kind": "type_b", "vent_sizing_method": "tables", "input_btuh": burns,
    }  # fmt: skip
    file = Path(__file__).parent / "jobs" / "gas_storage_upc_2021.json"
    answers = Job({**json.loads(file.read_text(encoding="utf-8"))["answers"], **vent}).canonical()
    report = assess(answers).as_json()
    carries, burning = (numbers_in(re.sub("<[^>]*>", " ", line))[0] for line in turning(answers, report, "vent"))
    assert carries <= Decimal("76999.7")
    judged = next(one for one in report["findings"] if one["check"] == "venting.capacity")
    assert (burning > carries) == (judged["verdict"] == "fails")


def test_a_drawing_tells_no_need_below_itself_and_no_length_past_it_that_is_not() -> None:
    assert asked_taped(None, Decimal("0.0825")) == "0.09"
    for found in (Decimal("0.0824"), Decimal("0.0826"), Decimal("0.0825"), Decimal("0.5")):
        told = [Decimal(numbers_in(one)[0]) for one in (found_taped(found, Decimal("0.0825")), asked_taped(found, Decimal("0.0825")))]
        assert (told[0] >= told[1]) == (found >= Decimal("0.0825")), told
