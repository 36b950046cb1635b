"""What stands large of pressure and the expansion tank says what the rest of the paper says."""

from __future__ import annotations

import json
import re
from typing import Any

import pytest

from heaterapp.certificate.figures import figures_of
from heaterapp.certificate.keys import keys_of
from heaterapp.languages import speaking
from heaterapp.rules import Job, assess
from heaterapp.sheet.turning import turning

CA = "gas_storage_us_ca"
TOO_SMALL = {
    "storage_gal": 80, "dry_weight_lb": 180, "tank_diameter_in": 24, "cold_inlet_f": 40, "thermostat_f": 140,
    "expansion_tank_gal": 2, "expansion_acceptance_gal": None,
}  # fmt: skip


@pytest.fixture(scope="module")
def judged(answers_of: Any) -> Any:
    """A whole job with changed answers: what is stored of it, and its report."""

    def judge(name: str, **changes: Any) -> tuple[dict[str, Any], dict[str, Any]]:
        told = {**answers_of(name), **changes}
        asked = Job({one: value for one, value in told.items() if value is not None}).canonical()
        return asked, assess(asked).as_json()

    return judge


def _head(told: tuple[dict[str, Any], dict[str, Any]]) -> dict[str, tuple[str, str, str]]:
    return {one.label: (one.value, one.unit, one.note) for one in keys_of(*told)}


@pytest.mark.parametrize("language", ["en", "es"])
@pytest.mark.parametrize("air_f", [70, None])
def test_a_name_at_the_head_has_its_figure_s_number(air_f: int | None, language: str, judged: Any) -> None:
    told = judged("gas_storage_shared_vent_us_ut", precharge_air_f=air_f, installed_air_f=50)
    with speaking(language):
        head, table = _head(told), {one.label: one.value for one in figures_of(told[1])}
        alike = {label: value for label, (value, _, _) in head.items() if label in table}
    assert alike == {label: table[label] for label in alike}
    named = {"en": ("Tank air to set", "Tank air needed"), "es": ("Aire del tanque a fijar", "Aire necesario en el tanque")}
    assert named[language][air_f is None] in alike, head


def test_no_line_of_a_formula_ends_between_a_number_and_its_unit(judged: Any) -> None:
    (air,) = [one for one in figures_of(judged(CA)[1]) if "Air pressure" in one.label]
    assert air.formula.startswith("14.696\u00a0psia at sea level")


def test_where_the_relief_valve_opens_its_setting_is_the_pressure(judged: Any) -> None:
    told = judged("electric_storage_irc", **TOO_SMALL)
    head = _head(told)
    assert head["Relief valve opens when hot"] == ("150", "psi", "")
    assert "Pressure when hot" not in head
    assert "220" not in json.dumps(told[1]["findings"])
    large = " ".join(turning(*told, "water"))
    assert "with its air set so, the relief valve opens at <b>150 psi</b>" in large
    del told[1]["figures"]["peak_pressure_psi"]["held_at"]
    assert _head(told)["Relief valve opens when hot"][0] == "150", "a report of rules that did not say it"


def test_what_a_label_lacks_stands_large_and_no_size_that_is_there(judged: Any) -> None:
    told = judged(CA, expansion_acceptance_gal="0.4")
    head = _head(told)
    assert head["Tank to accept, at least"] == ("0.452", "gal", "")
    assert "Expansion tank, at least" not in head
    assert head["Relief valve opens when hot"][0] == "150"
    large = " ".join(turning(*told, "water"))
    assert "Tank must accept at least <b>0.452 gal</b>" in large
    assert "This one accepts 0.4 gal" in large
    assert "2.2 gal" not in large
    fixes = [one["fix"] for one in told[1]["findings"] if one["topic"] == "expansion" and one["verdict"] == "fails"]
    assert fixes == ["Fit an expansion tank that accepts at least 0.452 gal."] * 3


def test_a_tank_both_too_small_and_short_by_its_label_has_its_size_told(judged: Any) -> None:
    told = judged(CA, expansion_tank_gal=2, expansion_acceptance_gal="0.4")
    assert _head(told)["Expansion tank, at least"][0] == "2.2"
    (fix,) = [one["fix"] for one in told[1]["findings"] if one["check"] == "expansion.tank_large_enough"]
    assert fix == "Fit an expansion tank of 2.2 gal or more that accepts at least 0.452 gal, or lower the house pressure."


@pytest.mark.parametrize(("house", "note"), [("80", "No size keeps"), ("95", "No size keeps"), ("79.99", "No tank of a usual size keeps")])
def test_no_size_is_told_in_few_words_that_contradict_no_finding(house: str, note: str, judged: Any) -> None:
    told = judged(CA, house_pressure_psi=house, prv_setting_psi=house, expansion_device="none")
    assert _head(told)["Expansion tank, at least"] == ("", "", f"{note} to 80 psi: lower the house pressure.")
    (fix,) = [one["fix"] for one in told[1]["findings"] if one["check"] == "expansion.control_on_closed_system"]
    assert fix.startswith("Lower the house pressure")
    assert not re.search(r"[0-9],[0-9]{3} gal", json.dumps(told[1]["figures"]))


def test_an_open_system_shows_no_pressure_when_hot_and_meets_no_rule_for_a_closed_one(judged: Any) -> None:
    told = judged(CA, prv_fitted="no", prv_setting_psi=None, prv_bypass=None, street_pressure_psi=60)
    assert "Pressure when hot" not in _head(told)
    met = {one["check"] for one in told[1]["findings"] if one["verdict"] == "meets"}
    assert not met & {f"expansion.{name}" for name in ("control_on_closed_system", "tank_large_enough", "peak_as_set", "tank_can_hold_it")}
    assert told[1]["outcome"] == "ready"


def test_a_pressure_of_a_system_that_may_be_open_says_so(judged: Any) -> None:
    told = judged(CA, prv_fitted="no", prv_setting_psi=None, prv_bypass=None, check_valve_upstream="unknown")
    assert _head(told)["Pressure when hot, if closed"] == ("68.4", "psi", "")
    assert told[1]["figures"]["peak_pressure_psi"]["says"] == "If the system is closed, with every tap shut."


def test_the_head_is_told_in_spanish(judged: Any) -> None:
    told = judged(CA, expansion_acceptance_gal="0.4")
    with speaking("es"):
        head = _head(told)
    assert head["Válvula de alivio: se abre a"][:2] == ("150", "psi")
    assert head["Tanque que reciba, al menos"][:2] == ("0.452", "gal")
