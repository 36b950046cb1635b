"""What the homeowner is told is what the record says: no number of its own, nothing of what nobody answered."""

from __future__ import annotations

import json
import re
from decimal import Decimal
from typing import Any

import pytest

from heaterapp import homeowner
from heaterapp.homeowner.known import ELECTRIC, GAS
from heaterapp.homeowner.numbers import BURN
from tests.homeowner.passing import NOT_ONE, PASSING, passing_words
from tests.homeowner.plain_text import as_text
from tests.homeowner.records import BY_KIND, NAMES, known, of_job, of_kind, page, record, spoken

GAS_WORDS = re.compile(
    r"\b(gas|flame|burner|vent|soot|carbon monoxide|llama|quemador|escape|monóxido)\b", re.I
)
SELLING = re.compile(r"When the house is sold|Cuando se venda la casa", re.I)


def text_of(made: Any, language: str = "en", **standing: str) -> str:
    return as_text(page(made, language, **standing))


@pytest.mark.parametrize("language", homeowner.LANGUAGES)
@pytest.mark.parametrize("kind", sorted(ELECTRIC))
def test_an_electric_heater_has_no_gas_words(kind: str, language: str) -> None:
    assert not GAS_WORDS.findall(text_of(of_kind(kind), language).replace("Compañía de gas", ""))
    assert not GAS_WORDS.findall(homeowner.care_calendar(known(of_kind(kind)), language).decode())


@pytest.mark.parametrize("kind", BY_KIND)
def test_the_emergency_box_has_what_this_heater_can_do_and_at_most_120_words(kind: str) -> None:
    for language, gas, power in (("en", "You smell gas", "breaker"), ("es", "Huele a gas", "disyuntor")):
        told = page(of_kind(kind), language)
        box = " ".join([told.emergency_title, *(f"{when} {do}" for when, do in told.emergencies)])
        assert len(box.split()) <= 120
        assert (gas in box) is (kind not in ELECTRIC)
        assert (power in box) is (kind in ELECTRIC)
        assert "911" in box
        assert ("555-0111" in box) is (kind in GAS), "the utility's, where the gas is known to be its"


def test_a_house_with_propane_calls_its_supplier_and_never_the_utility() -> None:
    job = "gas_storage_propane_attic_irc_2018"
    for language, supplier, valve, utility in (
        ("en", "your propane supplier", "Shut the valve on the propane tank only if", "gas company"),
        ("es", "su proveedor de propano", "Cierre la válvula del tanque de propano solo si", "ompañía de gas"),
    ):
        text = text_of(of_job(job), language)
        assert f"911 and {supplier}" in text or f"911 y a {supplier}" in text
        assert valve in text
        assert "555-0111" not in text
        assert utility not in text
        assert ("Propane", "Your propane supplier") in page(of_job(job)).calls
        nobody_said = text_of(record(job, gas_kind=None), language)
        assert "555-0111" not in nobody_said
        assert supplier.split()[-1] in nobody_said
        assert utility in nobody_said
    assert page(of_job(job)).phones == ("911",)


def test_a_heater_that_nobody_named_gets_every_caution() -> None:
    made = record("gas_storage_existing_us_ca", heater_kind=None)
    for language, words in (
        ("en", ("smell gas", "carbon monoxide", "breaker")),
        ("es", ("Huele a gas", "disyuntor")),
    ):
        named = page(made, language)
        box = " ".join([named.emergency_title, *(f"{when} {do}" for when, do in named.emergencies)])
        assert all(word in box for word in words)
        assert len(box.split()) <= 120
    propane = page(record("gas_storage_existing_us_ca", heater_kind=None, gas_kind="propane"))
    assert len(" ".join(f"{when} {do}" for when, do in propane.emergencies).split()) < 117
    named = page(made)
    assert "looked over a water heater" in " ".join(named.what)


def test_what_others_put_in_has_no_installer_to_ask() -> None:
    firm = {"name": ""}
    others, own = record("gas_storage_existing_us_ca", firm), record("gas_storage_us_ca", firm)
    for language, word in (("en", "installer"), ("es", "instalador")):
        for standing in (
            {"failed_on": "2026-03-14"}, {"state": "void"}, {"state": "replaced"},
            {"state": "void", "present_number": "F-000002", "present_kind": "findings_report"},
        ):  # fmt: skip
            told = text_of(others, language, **standing)
            assert word not in told, (language, standing)
            assert word in text_of(own, language, **standing), (language, standing)
    assert "Ask the building department" in text_of(others, failed_on="2026-03-14")


def test_a_number_of_the_page_is_one_of_the_record() -> None:
    for name in NAMES:
        hold_numbers(of_job(name))


def hold_numbers(made: Any) -> None:
    answers = json.loads(made.job)
    given = {
        Decimal(str(v))
        for v in answers.values()
        if isinstance(v, (str, int)) and re.fullmatch(r"[0-9.]+", str(v))
    }
    for language in homeowner.LANGUAGES:
        told = page(made, language)
        for one in told.numbers:
            assert one.number == "" or (Decimal(one.number) in given and one.number in one.sentence)
        assert "None" not in as_text(told)
        assert "{" not in as_text(told)
        assert "could_not" not in as_text(told)


def test_nothing_is_said_of_what_nobody_answered() -> None:
    bare = record(
        "gas_storage_us_ca", firm={"settings": {}},
        **{name: None for name in json.loads(of_kind("gas_storage").job) if name not in ("heater_kind", "place")},
    )  # fmt: skip
    told = page(bare)
    assert [one.sentence for one in told.numbers] == [BURN.of("en")]
    assert told.what == ("A plumber looked over a gas water heater.",)
    assert told.facts == (("Paper number", "C-000001"),)
    assert "psi" not in " ".join(told.warranty)
    assert all("None" not in one for one in spoken(told))


def test_what_could_not_be_measured_is_told_as_that() -> None:
    excuse = {"could_not_measure": "the gauge broke, says Dana"}
    text = text_of(record("gas_storage_us_ca", precharge_psi=excuse, house_pressure_psi=excuse))
    assert "filled with air to" not in text
    assert "Dana" not in text
    assert "The air in the expansion tank could not be measured." in text
    assert "The water pressure could not be measured." in text


def test_what_was_taken_as_usual_says_so() -> None:
    made = record("gas_storage_us_ca", accepted_as_usual=["thermostat_f", "prv_setting_psi", "pan_fitted"])
    told = page(made)
    usual = [one.sentence for one in told.numbers if "not measured" in one.sentence]
    assert [one.split(".")[0] for one in usual] == [
        "The heater was set to 120 °F", "A valve keeps the street's pressure down", "There is no pan under the heater",
    ]  # fmt: skip
    assert told.warranty[0].count("not measured") == 2
    assert "not measured" not in text_of(of_kind("gas_storage"))


def test_what_is_no_certificate_says_so_first_and_has_no_word_of_passing() -> None:
    papers = {of_job(name).kind for name in NAMES}
    assert papers == {"certificate", "correction_list", "findings_report"}
    for name in NAMES:
        for language in homeowner.LANGUAGES:
            hold_words(of_job(name), language)


def hold_words(made: Any, language: str) -> None:
    text = text_of(made, language)
    if made.kind == "certificate":
        assert not NOT_ONE.search(text)
        return
    told = page(made, language)
    assert any(NOT_ONE.search(one) for one in told.notices)
    assert not passing_words(text)
    listed = {rule for one in told.still for rule in one.rules}
    barred = [
        one for one in json.loads(made.report)["findings"]
        if one["kind"] == "rule" and one["verdict"] in ("fails", "unanswered", "error") and not one.get("accepted")
    ]  # fmt: skip
    assert len(listed) >= len({one["check"] for one in barred})
    assert bool(told.whom_to_ask) is any(one["verdict"] == "fails" for one in barred)


def test_passing_words_would_be_found() -> None:
    assert PASSING.search("The installation meets the rules.")
    assert PASSING.search("La instalación cumple.")


def test_a_hazard_stops_first_and_a_newer_paper_is_named_first() -> None:
    hazard = record("gas_storage_us_ca", gas_leak_test="failed")
    assert page(hazard).notices[0] == "Stop. Do not use this heater. Have it put right first."
    replaced = page(hazard, state="replaced", present_number="C-000009", present_kind="certificate")
    assert replaced.notices[0].startswith("A newer paper, C-000009, replaced this one.")
    assert not any("Stop." in one for one in replaced.notices)
    for left in ({"state": "void"}, {"state": "replaced", "present_number": "L-000009", "present_kind": "correction_list"}):
        assert page(hazard, **left).notices[0].startswith("Stop."), "until a certificate stands"
    void = page(
        of_kind("gas_storage"), state="void", present_number="L-000002", present_kind="correction_list"
    )
    assert void.notices == (
        "This paper is void: it was taken back. Do not rely on it. The newest paper is L-000002, a list of"
        " what is to be put right. Ask Harborlight Plumbing (555-0142) for it.",
    )
    # Without a phone or a name there is still somebody to ask.
    for firm, says, spanish in (({"name": "Harborlight"}, "Ask Harborlight what", "Pregunte a Harborlight qué"), ({"settings": {}}, "Ask the installer what", "Pregunte al instalador qué")):
        made = record("gas_storage_us_ca", firm=firm)
        assert says in page(made, state="void").notices[0]
        assert spanish in page(made, "es", state="void").notices[0]
    assert page(of_kind("gas_storage")).notices == ()
    for language, says in (
        ("en", "The inspection of November 24, 2026 was not passed in full. Ask the installer what is still to be done."),
        ("es", "La inspección del 24 de noviembre de 2026 no se aprobó por completo. Pregunte al instalador qué falta por hacer."),
    ):
        assert page(of_kind("gas_storage"), language, failed_on="2026-11-24").notices == (says,)


def test_a_void_paper_s_facts_are_not_told_as_if_they_held() -> None:
    for language in homeowner.LANGUAGES:
        void, stands = (page(of_kind("gas_storage"), language, state=state) for state in ("void", "current"))
        assert (void.what, void.numbers, void.warranty, void.sale, void.paper) == ((), (), (), (), "")
        assert stands.what
        assert all((stands.numbers, stands.warranty, stands.sale, stands.paper))
        assert (void.emergencies, void.calls, void.signs) == (stands.emergencies, stands.calls, stands.signs)


def test_what_the_authority_accepted_is_told_as_accepted() -> None:
    check = "expansion.tank_supported"
    to_fix = record("gas_storage_to_fix")
    assert check in {
        one["check"] for one in json.loads(to_fix.report)["findings"] if one["verdict"] == "fails"
    }
    taken = record(
        "gas_storage_to_fix", acceptances={check: {"by": "A. Brand", "on": "2026-01-02", "why": "seen"}}
    )
    headings = {one.heading: one.rules for one in page(taken).still}
    (heading, accepted), = ((heading, rules) for heading, rules in headings.items() if "accepted" in heading)
    assert heading.startswith("These differ from the code book.")
    assert accepted == ("What holds the expansion tank: its pipe alone. Accepted on January 2, 2026.",)
    rule = "More than its pipe must hold the expansion tank."
    assert not any(rule in one for rules in headings.values() for one in rules)
    assert "Brand" not in text_of(taken)


def test_what_the_book_leaves_open_and_is_accepted_does_not_read_as_if_it_failed() -> None:
    check = "seismic.gap_blocked"
    taken = record("electric_storage_us_ca", acceptances={check: {"by": "A. Brand", "on": "2026-01-02", "why": "seen"}})
    judged = {one["check"]: one["verdict"] for one in json.loads(taken.report)["findings"]}
    assert judged[check] == "authority"
    for language, head, about in (
        ("en", "The code book alone does not settle these.", "The gap to the wall"),
        ("es", "El código solo no basta para decidir esto.", "El hueco hasta la pared"),
    ):
        told = next(one for one in page(taken, language).still if one.heading.startswith(head))
        assert told.rules[0].startswith(about)
        assert not re.search(r"\b(must|debe)\b", told.rules[0])


def test_a_sale_is_told_only_where_the_place_asks_and_never_signed() -> None:
    here = page(of_kind("gas_storage"))
    assert here.sale[0].startswith("California asks the seller of a home")
    assert "the seller signs it" in here.sale[0]
    assert here.sale[1].endswith(
        "The tank has 2 straps, at 36 and 68 inches from the floor. Fixed to the studs with lag screws."
    )
    for different in ({"place": "model_upc_2021"}, {"building_kind": "business"}, {"storage_gal": 121}):
        assert page(record("gas_storage_us_ca", **different)).sale == (), different
    assert page(record("gas_storage_us_ca", storage_gal=120)).sale
    none = page(record("gas_storage_us_ca", strap_heights_in=None, strap_kind=None, strap_anchor=None))
    assert none.sale[1].endswith("No straps were recorded. Not all of the bracing was checked.")
    assert not SELLING.search(text_of(of_kind("gas_instantaneous")))


def test_a_pan_and_straps_are_named_as_they_were_recorded() -> None:
    none = {"strap_kind": "none", "strap_heights_in": None}
    for different, leak, quake in (
        ({"pan_fitted": "yes"}, "Water on the floor or in the pan.", "look at the tank, its straps, the vent"),
        ({"pan_fitted": "no", **none}, "Water on the floor.", "look at the tank, the vent"),
        ({"pan_fitted": None, "strap_kind": None, "strap_heights_in": None}, "in a pan if there is one.", "its straps if any,"),
        ({"strap_heights_in": ["36"]}, "", "look at the tank, its strap, the vent"),
    ):
        told = page(record("gas_storage_us_ca", **different))
        assert told.signs[0].endswith(leak), different
        assert quake in told.leave_alone[-1], different
    told = page(record("gas_storage_us_ca", pan_fitted="no", **none), "es")
    assert told.signs[0] == "Agua en el piso."
    assert "mire de lejos el tanque, el tubo de escape" in told.leave_alone[-1]


def test_care_is_what_this_heater_has() -> None:
    care = {kind: {what for what, _ in page(of_kind(kind)).care} for kind in BY_KIND}
    assert {kind for kind, whats in care.items() if "Flush the tank" in whats} == set(BY_KIND) - {
        "gas_instantaneous", "electric_instantaneous",
    }  # fmt: skip
    assert {k for k, whats in care.items() if "Burner and vent, by a trained person" in whats} == GAS
    assert {k for k, whats in care.items() if "Clean the air filter" in whats} == {"heat_pump_storage"}
    unstrapped = page(record("gas_storage_us_ca", strap_kind="none", strap_heights_in=None))
    assert "Look at the straps" not in {what for what, _ in unstrapped.care}
    assert any("The tank has no straps." in one.sentence for one in unstrapped.numbers)
