"""The homeowner's fixed sentences: both languages say the same, and every number has its source."""

from __future__ import annotations

import re
import string

import pytest

from heaterapp.filling.photos import LABELS
from heaterapp.homeowner import sale
from heaterapp.homeowner.said import Said
from heaterapp.homeowner.sources import SOURCES, SURENESS
from heaterapp.homeowner.still import rules_in_words, subjects_in_words
from heaterapp.languages.faults import glossary
from heaterapp.rules import catalog, place_names
from heaterapp.sheet.words import FIGURES, SECTIONS, TOPICS
from tests.homeowner.every_text import every_text

NEVER = re.compile(
    r"\b(safe|safely|safety|guarante\w*|approv\w*|segur[oa]s?|garantiza\w*|aproba\w*|aprueba)\b", re.I
)
SPANS = {
    "second": "seconds", "seconds": "seconds", "segundo": "seconds", "segundos": "seconds",
    "minute": "minutes", "minutes": "minutes", "minuto": "minutes", "minutos": "minutes",
    "hour": "hours", "hours": "hours", "hora": "hours", "horas": "hours", "week": "weeks", "semana": "weeks",
    "month": "month", "months": "month", "mes": "month", "meses": "month",
    "year": "year", "years": "year", "yearly": "year", "año": "year", "años": "year",
    "twice": "twice", "half": "half", "medio": "half", "media": "half",
    "two": "2", "dos": "2", "three": "3", "tres": "3", "four": "4", "cuatro": "4", "ten": "10", "diez": "10",
}  # fmt: skip
TOKEN = re.compile(r"\d+|[^\W\d_]+")
NO_NUMBER = {
    "care.TITLE": "a heading: through the years",
    "asked.heater.first_hour_rating": "the name of a rating",
    "about.heater.first_hour_rating": "the name of a rating",
    "what.BY_OTHERS_IN": "", "asked.venting.shared_capacity": "los dos: both",
    "asked.venting.smaller_enters_higher": "two pipes, by the rule's own sense",
}  # fmt: skip
"""Where a word of SPANS measures nothing."""
SAME = {"calls.NUMBER"}


def numbers_of(text: str) -> list[str]:
    """The numbers and spans of time in a sentence, its gaps left out.

    >>> numbers_of("At 140 it takes seconds; {number} psi twice a year")
    ['140', 'seconds', 'twice', 'year']
    """
    said = TOKEN.findall(re.sub(r"\{\w+\}", "", text).lower().replace("dos veces", "twice"))
    return [SPANS.get(one, one) for one in said if one.isdigit() or one in SPANS]


def unsourced(said: Said) -> set[str]:
    """The numbers of a sentence that none of its sources stands for."""
    held = {number for source in said.sources for number in SOURCES[source].numbers}
    return {number for text in (said.en, said.es) for number in numbers_of(text)} - held


def test_there_is_much_to_look_at() -> None:
    assert len(every_text()) > 250


def test_every_number_has_a_source() -> None:
    bare = {
        name: found
        for name, said in every_text().items()
        if name not in NO_NUMBER and (found := unsourced(said))
    }
    assert bare == {}
    assert unsourced(Said("At 130 °F it takes seconds.", "A 130 °F tarda segundos.", ("burns",))) == {"130"}
    assert unsourced(Said("Every year.", "Cada año.")) == {"year"}
    assert unsourced(Said("Twice.", "Dos veces.", ("flush",))) == set()


def test_every_source_is_used_and_says_where_it_was_read_and_how_surely() -> None:
    used = {source for said in every_text().values() for source in said.sources}
    assert used == set(SOURCES)
    for name, source in SOURCES.items():
        assert source.sure in SURENESS, name
        assert all((source.numbers, source.document, source.read)), name
        assert "from memory" not in source.read or source.sure == "memory", name


def test_a_law_of_sale_is_cited_with_its_section_date_and_sureness() -> None:
    assert set(sale.laws()) <= set(place_names().values())
    for place, law in sale.laws().items():
        assert all(law[key] for key in ("law", "section", "says", "where", "source")), place
        assert str(law["on"]) >= "2026-11-25", place
        assert law["confidence"] in SURENESS, place


@pytest.mark.parametrize("language", ["en", "es"])
def test_nothing_is_called_safe_or_guaranteed_or_approved(language: str) -> None:
    # The name of a law is no word about the heater.
    told = {
        name: said.of(language, **gaps(said)).replace("Health and Safety Code", "")
        for name, said in every_text().items()
    }
    assert {name for name, text in told.items() if NEVER.search(text)} == set()
    assert NEVER.search("It is safe.")


def gaps(said: Said) -> dict[str, str]:
    """Something for every gap."""
    return {field: "x" for _, field, _, _ in string.Formatter().parse(said.en) if field}


def test_both_languages_have_the_same_gaps_and_numbers() -> None:
    for name, said in every_text().items():
        assert said.en.strip(), name
        assert said.es.strip(), name
        assert (
            said.en != said.es or name in SAME or set(said.en) <= set("{}abcdefghijklmnopqrstuvwxyz_ .,():")
        ), name
        found = [
            sorted(field for _, field, _, _ in string.Formatter().parse(text) if field) for text in said[:2]
        ]
        assert found[0] == found[1], name
        if name not in NO_NUMBER:
            assert numbers_of(said.en) == numbers_of(said.es), name
        ends = [text[-1] in ".:?" for text in said[:2]]
        assert ends[0] == ends[1], name


def test_every_check_is_told_as_a_rule_in_both_languages() -> None:
    assert set(rules_in_words()) == {check.name for check in catalog.all_checks()}
    for check, said in rules_in_words().items():
        for text in said[:2]:
            assert len(text.split()) <= 18, check
            assert text.endswith("."), check
            assert re.search(r"\b(must|may|debe|deben)\b", text, re.I), check


def test_what_a_rule_is_about_is_told_without_what_it_wants() -> None:
    assert set(subjects_in_words()) == set(rules_in_words())
    for check, said in subjects_in_words().items():
        for text in said[:2]:
            assert len(text.split()) <= 18, check
            assert not re.search(r"\b(must|may|debe|deben)\b|[.:]\Z", text, re.I), check


def test_the_spanish_says_usted_and_the_words_of_the_trade() -> None:
    for name, said in every_text().items():
        assert not re.search(r"\b(tu|tú|tus|te|llama al|tapes)\b", said.es), name
        for word in ("termotanque", "calefón", "fontaner", "vaso de expansión", "válvula de desahogo"):
            assert word not in said.es.lower(), name


def test_what_carries_flue_gas_is_called_as_on_the_paper() -> None:
    """Room air is "ventilación" to whoever hears it; the paper's glossary has one word for the pipe."""
    vent = next(one for one in glossary().terms if one.en == "vent")
    held = {name: said for name, said in every_text().items() if vent.found.search(said.en)}
    assert len(held) > 20
    assert {name for name, said in held.items() if not vent.said.search(said.es)} == set()
    assert {name for name, said in every_text().items() if "ventilación" in said.es.lower()} == set()
    assert glossary().avoided.search("El tubo de ventilación gotea.")
    heads = (*SECTIONS.values(), *TOPICS.values(), *LABELS.values(), *(said for _, said in FIGURES.values()))
    assert {one.es for one in heads if glossary().avoided.search(one.es)} == set()
