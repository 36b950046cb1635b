"""The homeowner's page reads at grade 8 or below in English, and at 70 or more by Fernandez Huerta in Spanish."""

from __future__ import annotations

import pytest

from .readability import grade, lecturabilidad, sentences_of, syllables, words_of
from .records import BY_KIND, of_kind, page, record, spoken

GRADE, EASE = 8, 70
LONGEST_SENTENCE = 26
HARD_ENGLISH = (
    "Thermal expansion within a hydraulically isolated distribution system necessitates installation of an"
    " appropriately dimensioned pressurized accumulator in accordance with applicable jurisdictional requirements."
)
HARD_SPANISH = (
    "La expansión térmica en una distribución hidráulicamente incomunicada necesita obligatoriamente la instalación"
    " de un acumulador presurizado adecuadamente dimensionado según las correspondientes disposiciones reglamentarias."
)


@pytest.mark.parametrize("kind", BY_KIND)
def test_every_kind_of_heater_reads_easily_in_both_languages(kind: str) -> None:
    english, spanish = (spoken(page(of_kind(kind), language)) for language in ("en", "es"))
    assert len(sentences_of(english)) > 40
    assert grade(english) <= GRADE
    assert lecturabilidad(spanish) >= EASE
    for text in (english, spanish):
        assert max(len(words_of(one)) for one in sentences_of(text)) <= LONGEST_SENTENCE


def test_a_long_list_of_what_is_to_be_fixed_reads_as_easily() -> None:
    made = record("gas_storage_propane_attic_irc_2018")
    for language, measure, holds in (
        ("en", grade, lambda n: n <= GRADE),
        ("es", lecturabilidad, lambda n: n >= EASE),
    ):
        told = page(made, language)
        assert sum(len(one.rules) for one in told.still) > 10
        assert holds(measure([rule for one in told.still for rule in one.rules])), language
        assert holds(measure(spoken(told))), language


def test_a_hard_text_is_called_hard() -> None:
    assert grade([HARD_ENGLISH]) > 16
    assert lecturabilidad([HARD_SPANISH]) < 30
    # One such sentence in ten would be noticed where all were so; a page of them is never let through.
    assert grade([*spoken(page(of_kind("gas_storage"))), *[HARD_ENGLISH] * 12]) > GRADE
    assert lecturabilidad([*spoken(page(of_kind("gas_storage"), "es")), *[HARD_SPANISH] * 12]) < EASE


@pytest.mark.parametrize(
    ("word", "language", "count"),
    [
        ("water", "en", 2), ("pipe", "en", 1), ("people", "en", 2), ("monoxide", "en", 3), ("heater", "en", 2),
        ("the", "en", 1), ("agua", "es", 2), ("válvula", "es", 3), ("quemar", "es", 2), ("óxido", "es", 3),
        ("área", "es", 3), ("ducha", "es", 2), ("tubería", "es", 4), ("y", "es", 1),
    ],
)  # fmt: skip
def test_syllables_are_counted(word: str, language: str, count: int) -> None:
    assert syllables(word, language) == count


def test_the_measures_come_to_what_their_formulas_say() -> None:
    # Four words, five syllables, one sentence; two sentences of two words, by pocket calculator.
    assert grade(["The pipe is water."]) == pytest.approx(0.39 * 4 + 11.8 * 5 / 4 - 15.59)
    assert lecturabilidad(["Cierre el agua. Llame."]) == pytest.approx(206.84 - 60 * 7 / 4 - 1.02 * 4 / 2)
