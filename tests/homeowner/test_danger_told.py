"""What is dangerous is told first, each item to fix with what was found, and no sale leans on straps that fail."""

from __future__ import annotations

import json
import re

import pytest

from heaterapp.homeowner import LANGUAGES, STOP
from heaterapp.homeowner.hazard import DONE, FOUND
from heaterapp.rules import CATALOGUE
from heaterapp.sheet.found_in import compared_in
from tests.homeowner.plain_text import as_text
from tests.homeowner.records import of_job, of_kind, page, record

JOB = "gas_storage_us_ca"
LEAK = {"hazard_found": "gas_leak", "hazard_action": "shut_off"}
ABBREVIATED = re.compile(r"\d (?:in|ft|gal|lb|A|sq in|cu ft|pulg²|pies³|in\. w\.c\.)(?!\w| the )")


@pytest.mark.parametrize(
    ("told", "english", "spanish"),
    [
        (
            LEAK,
            "A gas leak was found. The heater was shut off and tagged. Do not turn it on.",
            "Se encontró una fuga de gas. El calentador se apagó y se etiquetó. No lo encienda.",
        ),
        (
            {"hazard_found": "co", "hazard_action": "owner_told", "hazard_told_on": "2026-11-24"},
            "Carbon monoxide was found. The owner was told in writing on November 24, 2026.",
            "Se encontró monóxido de carbono. Se avisó por escrito al dueño el 24 de noviembre de 2026.",
        ),
        (
            {"hazard_found": "other", "hazard_words": "Flue joint rusted <through>."},
            "A danger was found. In the installer's words: Flue joint rusted <through>.",
            "Se encontró un peligro. En palabras del instalador: Flue joint rusted <through>.",
        ),
        (
            {"hazard_found": "scorch"},
            "Scorch marks were found at the heater.",
            "Se encontraron marcas de quemado.",
        ),
    ],
    ids=["leak", "told", "other", "nothing done"],
)
def test_the_first_line_says_what_was_found_and_done_and_nothing_that_nobody_wrote(
    told, english, spanish
) -> None:
    made = record(JOB, **told)
    for language, says in zip(LANGUAGES, (english, spanish), strict=True):
        assert page(made, language).notices[:2] == (says, STOP.of(language))


def test_every_hazard_and_every_act_has_its_words() -> None:
    assert set(FOUND) == set(CATALOGUE["hazard_found"].choices) - {"none"}
    assert set(DONE) == set(CATALOGUE["hazard_action"].choices)


def test_a_hazard_that_was_repaired_stops_nobody_and_none_is_not_spoken_of() -> None:
    mended = page(record(JOB, hazard_found="gas_leak", hazard_action="repaired"))
    assert mended.notices == ("A gas leak was found. It was repaired and tested again.",)
    assert page(of_kind("gas_storage")).notices == ()
    still = page(record(JOB, hazard_found="co", hazard_action="repaired", gas_leak_test="failed"))
    assert still.notices[:2] == (STOP.en, "Carbon monoxide was found. It was repaired and tested again.")


def test_a_paper_that_another_follows_leaves_its_hazard_to_that_one() -> None:
    leak = record(JOB, **LEAK)
    for standing in (
        {"state": "void"},
        {"state": "replaced", "present_number": "L-000002", "present_kind": "correction_list"},
    ):
        told = page(leak, **standing).notices
        assert told[0] == STOP.en
        assert "leak" not in " ".join(told)


def test_each_item_to_fix_has_what_was_found_against_its_limit_and_danger_stands_first() -> None:
    made = record(
        "gas_storage_to_fix", house_pressure_psi=95, relief_end_height_in="30", gas_leak_test="failed", **LEAK
    )
    for language, first, pressure, end in (
        (
            "en", "Found: gas leak.", "must be within its limit. Found: 95 psi. At most: 80 psi.",
            "must end at the right height. Found: 30 inches. Allowed: 6 to 24 inches.",
        ),
        (
            "es", "Hallado: fuga de gas.", "dentro del límite. Hallado: 95 psi. Máximo: 80 psi.",
            "altura correcta. Hallado: 30 pulgadas. Se permite: 6 a 24 pulgadas.",
        ),
    ):  # fmt: skip
        rules = page(made, language).still[0].rules
        assert first in rules[0]
        grave = sum(
            bool(one.get("hazard"))
            for one in json.loads(made.report)["findings"]
            if one["verdict"] == "fails"
        )
        assert grave > 1
        assert any("fuga" in one or "leak" in one for one in rules[1:grave])
        assert any(one.endswith(pressure) for one in rules)
        assert any(one.endswith(end) for one in rules)


def test_an_item_of_other_rules_than_these_keeps_its_place() -> None:
    assert compared_in({"check": "of.older_rules"}, "en") == ("", "", "")
    made = record("gas_storage_to_fix")
    report = json.loads(made.report)
    report["findings"].append({"kind": "rule", "verdict": "fails", "check": "of.older_rules"})
    made.report = json.dumps(report).encode()
    assert page(made).still[0].rules[-1] == "Older rules: see the paper."


def test_units_are_words_wherever_a_list_tells_of_them() -> None:
    for name in ("gas_storage_propane_attic_irc_2018", "gas_storage_to_fix"):
        for language in LANGUAGES:
            told = as_text(page(of_job(name), language))
            assert not ABBREVIATED.search(told), ABBREVIATED.search(told)
    assert ABBREVIATED.search("at 36 and 68 in from the floor")


def test_the_box_of_a_sale_never_leans_on_bracing_that_is_not_as_asked() -> None:
    low = {"strap_heights_in": ["40", "68"]}
    for language, fails, failed in (
        (
            "en",
            "The bracing is not as the code asks. It is still to be put right.",
            "It had to be put right.",
        ),
        (
            "es",
            "La sujeción no está como pide el código. Todavía hay que arreglarla.",
            "Había que arreglarla.",
        ),
    ):
        assert page(record(JOB, **low), language).sale[1].endswith(fails)
        assert page(record(JOB, **low), language, state="replaced").sale[1].endswith(failed)
    assert (
        page(record(JOB, strap_heights_in={"could_not_measure": "shelves"}))
        .sale[1]
        .endswith("left to be decided.")
    )
    assert page(of_kind("gas_storage")).sale[1].endswith("with lag screws.")


def test_what_the_paper_advises_is_told_with_its_number_and_not_as_the_code_s_wish() -> None:
    made = of_job("gas_storage_upc_2021")
    assert made.kind == "certificate"
    for language, first, says in (
        (
            "en",
            "The code here does not ask for this.",
            "large enough. Pressure when hot: 97.8 psi. Advised: at most 80 psi.",
        ),
        (
            "es",
            "El código de aquí no pide esto.",
            "tamaño. Presión en caliente: 97.8 psi. Consejo: máximo 80 psi.",
        ),
    ):
        told = page(made, language)
        assert told.advised_first.startswith(first)
        assert len(told.advised) == 1
        assert told.advised[0].endswith(says)
        assert not any("97.8" in rule for one in told.still for rule in one.rules)
        assert page(made, language, state="void").advised == ()


def test_another_device_than_a_tank_is_named_where_one_may_take_its_place() -> None:
    made = record(JOB, expansion_device="none")
    for language, says in (
        ("en", "An expansion tank or another device must"),
        ("es", "Un tanque de expansión u otro aparato debe"),
    ):
        assert any(one.startswith(says) for one in page(made, language).still[0].rules)
