"""The catalogue: whole, by the glossary, up to the program; sentences that were built are found in it again."""

from __future__ import annotations

import json
import random
import re
from collections import Counter
from pathlib import Path
from typing import Any

import pytest

from heaterapp import languages
from heaterapp.languages import extract, faults
from heaterapp.languages.files import path_of
from heaterapp.languages.found import is_publication
from heaterapp.languages.laying import Laying, Never
from heaterapp.languages.patterns import put_in, wordless
from heaterapp.languages.sentences import Catalogue
from heaterapp.rules import CATALOGUE, Job, assess, place, place_names
from heaterapp.rules.impossible import impossible
from heaterapp.rules.plausible import implausible
from heaterapp.rules.when import NOT_ASKED
from heaterapp.sheet.draw import pressure_words, straps_words, vent_words
from heaterapp.sheet.words import SECTIONS, VERDICTS
from tests.rules.test_impossible import CLASHES, SHARED
from tests.rules.test_random_jobs import _told

JOBS = sorted((Path(__file__).parent / "jobs").glob("*.json"))
DRAWN = (pressure_words, straps_words, vent_words)
NUMBER = re.compile(r"\d+(?:[.,/]\d+)*")
APART = re.compile(r"\b(?:[Aa]|[Dd]e) el\b")


def test_the_catalogue_has_every_text_of_the_program_translated_and_no_other() -> None:
    body = extract.updated("es")
    assert faults.faults(body) == []
    assert body == path_of("es").read_bytes(), (
        "python -m heaterapp.languages.extract brings it up to the program"
    )


def test_what_a_report_takes_from_a_book_is_translated_or_the_title_that_a_publication_bears() -> None:
    """What is told of a clause beside its value: the section, the book, and in which edition it was read."""
    texts, seen = languages.catalogue("es").texts, set()
    for name in sorted(set(place_names().values())):
        for clause in place(name).clauses.values():
            seen |= {(clause.section, False), (clause.carried_from, False), (clause.book, True)}
    left = {text for text, title in seen if not (wordless(text) or texts.get(text) or (title and is_publication(text)))}
    assert left == set()
    assert {"an earlier UPC", "Consumer agency scald figures"} <= {text for text, _ in seen}
    read = "(Read in: an earlier UPC. Confirm in the adopted edition.)"
    said = "(Leído en: un UPC anterior. Confirme en la edición adoptada.)"
    assert languages.catalogue("es").sentence("gas.leak_test", read) == said


@pytest.mark.parametrize(
    ("text", "said", "wrong"),
    [
        ("Tap {0} F, set to {1} F.", "", "not translated"),
        ("Tap {0} F, set to {1} F.", "Llave a {0} F, fijado en {0} F.", "holes differ: {1} in English, {0} in Spanish"),
        ("{count} to answer", "por responder", "holes differ: {count} in English, nothing in Spanish"),
        ("Within 6 in of the floor.", "A menos de 16 in del piso.", "numbers differ: 6 in English, 16 in Spanish"),
        ("The relief valve is new.", "La válvula de seguridad es nueva.", "'seguridad' is not used here"),
        ("Fit a relief valve.", "Instale una válvula.", "'relief valve' is in the glossary"),
        ("The vent ends in a cap.", "La ventilación termina en una tapa.", "'vent' is in the glossary"),
        ("The vent leaks.", "El tubo de ventilación tiene una fuga.", "'tubo de ventilación' is not used here"),
        ("Turn the water off.", "Cierre el agua", "ends otherwise than the English"),
        ("Turn the water off.", "Turn the water off.", "left in English"),
        ("The expansion tank.", "El vaso de expansión.", "'vaso de expansión' is not used here"),
    ],
)  # fmt: skip
def test_a_translation_that_is_not_right_is_told(text: str, said: str, wrong: str) -> None:
    assert faults.of_text(text, said).startswith(wrong)


def test_a_broken_catalogue_is_told_line_by_line() -> None:
    whole = path_of("es").read_bytes()
    # The whole one is held to this in the test above: a short one is broken here.
    told = re.search(rb'msgid "Job reference"\nmsgstr ".+"\n\n', whole)
    assert told
    body = whole[: whole.index(b"#: ")] + told.group() + b'msgid "To fix"\nmsgstr "Por corregir"\n'
    assert faults.faults(body) == []
    last = body.rindex(b'msgstr "')
    doubtful = body.replace(b'msgid "Job reference"', b'#, fuzzy\nmsgid "Job reference"', 1)
    assert faults.faults(doubtful) == ["'Job reference': fuzzy: read it and take the mark off"]
    empty = body[:last] + b'msgstr ""\n'
    assert [one.rpartition(": ")[2] for one in faults.faults(empty)] == ["not translated"]


def test_every_exception_of_the_glossary_is_needed_and_has_a_reason() -> None:
    known = languages.catalogue("es")
    for (text, term), why in faults.glossary().let_be.items():
        said = known.text(text)
        assert why, text
        assert said != text
        bare = next(one for one in faults.glossary().terms if one.en == term)
        assert bare.found.search(text), f"{text}: {term} does not stand in it"
        assert not bare.said.search(said), f"{text}: {term} needs no exception"


def test_a_text_added_to_the_code_is_found() -> None:
    from heaterapp.languages.code_sentences import said_by_name, sentences

    check = (
        'def check(a):\n    said = f"Tank {a} in."\n'
        '    return fails(said + " Too low." if a else said, a, "none of it", clause="tank.low")'
    )
    assert set(sentences(check)) == {"Tank {0} in.", "{0} Too low.", "none of it"}
    assert said_by_name('OPEN = {"a": "One.", "b": "Two."}\nsay(OPEN[kind])\nsay("Three.")') == [
        "One.",
        "Two.",
        "Three.",
    ]


@pytest.mark.parametrize("path", JOBS[::4], ids=lambda path: path.stem)
def test_a_report_is_shown_in_spanish_without_a_word_of_english_and_with_its_own_numbers(path: Path) -> None:
    answers = json.loads(path.read_text(encoding="utf-8"))["answers"]
    report = assess(answers).as_json()
    before = json.dumps(report, sort_keys=True)
    shown = [languages.finding_in(one, "es") for one in report["findings"]]
    shown += [languages.figure_in(one, "es") for one in report["figures"].values()]
    items = [*report["findings"], *report["figures"].values()]
    for item, one in zip(items, shown, strict=True):
        assert one["untranslated"] == (), item
        for key in ("title", "why", "fix", "found", "limit", "formula", "worked", "says"):
            if item.get(key):
                assert sorted(NUMBER.findall(item[key])) == sorted(NUMBER.findall(one[key])), (
                    item[key],
                    one[key],
                )
                if key in ("title", "why", "fix"):
                    assert one[key] != item[key], item
    drawn = [languages.catalogue("es").sentence("draw", said) for words in DRAWN for said in words(answers, report)]
    assert all(drawn), drawn
    said = [str(text) for one in shown for text in one.values()] + drawn
    assert [text for text in said if APART.search(text)] == []
    assert json.dumps(report, sort_keys=True) == before, "the report itself stays English"


def flagged(answers: dict[str, Any]) -> list[str]:
    """What is said of the unusual and the contradictory among these answers."""
    job = Job({"place": "model_upc_2021", **answers})
    return [one["says"] for one in implausible(job, impossible(job.values, job.look))]


def test_every_flag_is_shown_in_spanish_with_its_own_numbers() -> None:
    """Each number out of its usual range, each contradiction, and random jobs with many of both."""
    out = [(one, end) for one in CATALOGUE.values() if one.soft for end in (0, 1) if one.hard[end] != one.soft[end]]
    told = [flagged({one.name: str(one.hard[end])}) for one, end in out]
    alone = Job({"place": "model_upc_2021"})
    asked = [alone.look(one.name) is not NOT_ASKED for one, _ in out]
    assert sum(asked) > len(out) * 0.8
    assert [bool(some) for some in told] == asked, "each that is asked is flagged"
    told += [flagged({**among, **clash}) for among, clash, _ in CLASHES]
    told.append(flagged({**SHARED, "common_vent_elbows_90": 1, "vent_elbows_90": 0}))
    dice = random.Random(7)
    told += [flagged(_told(dice, "model_upc_2021")) for _ in range(20)]
    known = languages.catalogue("es")
    for says in {one for some in told for one in some}:
        said = known.sentence("common", says)
        assert said, says
        assert said != says
        assert sorted(NUMBER.findall(said)) == sorted(NUMBER.findall(says)), said


def test_a_sentence_of_another_check_or_of_nobody_is_not_guessed_at() -> None:
    known = languages.catalogue("es")
    assert known.sentence("pan.depth", "Pan 1 in deep, 1 1/2 in asked.") == (
        "Bandeja de 1 in de profundidad, se piden 1 1/2 in."
    )
    assert known.sentence("gas.connector", "Pan 1 in deep, 1 1/2 in asked.") is None
    assert known.sentence("pan.depth", "Pan 1 in deep, by the grace of nobody.") is None
    finding = {
        "check": "pan.depth",
        "title": "The pan is made of cheese.",
        "why": "No.",
        "fix": "",
        "found": None,
        "limit": None,
    }
    told = languages.finding_in(finding, "es")
    assert told["title"] == finding["title"]
    assert told["untranslated"] == ("title",)


SCALD = (
    "Set to 138 F, no mixing valve; 120 F at the taps is advised. It burns an adult in 6 to 30 s at 138 F as set"
    " (the table's next hotter row, 140 F), a child sooner."
)


def test_a_new_sentence_is_found_in_few_steps_and_one_of_nobody_is_given_up_at_once() -> None:
    known = languages.catalogue("es")
    figures = ("temperature.scald_guard", "temperature", "common", "figures")
    found, none = known.laying(figures, SCALD), known.laying(figures[:-1], SCALD)
    assert str(found.whole(SCALD)).startswith("Fijado en 138 F, sin válvula mezcladora;")
    assert found.tries < 300
    assert none.whole(SCALD) is None
    assert none.tries == 0


def test_what_is_passed_over_would_have_led_nowhere() -> None:
    """Every sentence of a report, with a word of it changed or none, comes out as it does when everything is tried."""
    known, dice, tried = languages.catalogue("es"), random.Random(6), Counter[bool]()
    report = assess(json.loads((JOBS[0].parent / "gas_storage_to_fix.json").read_text("utf-8"))["answers"]).as_json()
    for finding in report["findings"][::3]:
        words = finding["why"].split(" ")[:12]
        at = dice.randrange(len(words))
        text = " ".join((*words[:at], dice.choice(("straps", "outdoors", "nothing", words[at])), *words[at + 1 :]))
        topic = finding["check"].partition(".")[0]
        laying = known.laying((finding["check"], topic, "common", "figures"), text)
        everything = Laying(known.texts, laying.patterns, Never())
        said = laying.whole(text)
        assert said == everything.whole(text), text
        assert laying.tries <= everything.tries
        tried[said is None] += 1
    assert min(tried.values()) > 5, tried
    small = Catalogue({"s of steel": "s de acero"}, {"x": [("{0} strap{1}", "{0} correa{1}")]})
    assert small.sentence("x", "2 straps of steel") == "2 correas de acero", "a word goes on in a hole"


def test_what_a_person_wrote_stands_as_written() -> None:
    known = languages.catalogue("es")
    why = "Could not be measured. House pressure, no water running: the tap is broken."
    said = known.sentence("supply.pressure_within_limit", why)
    assert said == "No se pudo medir. Presión de la casa, sin agua corriendo: the tap is broken."
    assert (
        known.sentence("paperwork.permit", "Permit issued: AB-12 for 3.") == "Permiso emitido: AB-12 for 3."
    )


def test_what_is_put_in_after_a_or_de_is_joined_to_it() -> None:
    filled = {
        said: put_in(said, *["el tanque"] * 20)
        for pairs in languages.catalogue("es").patterns.values()
        for _, said in pairs
    }
    assert [one for one in filled.values() if APART.search(one)] == []
    assert sum(bool(APART.search(said.replace("{0}", "el tanque"))) for said in filled) > 20
    assert languages.catalogue("es").sentence("draw", "10 ft to a gas regulator's vent.") == (
        "10 ft al respiradero de un regulador de gas."
    )
    with languages.speaking("es"):
        assert languages.say("Go to {section}", section="el final") == "Ir al final"
        assert languages.say("Go to {section}", section="El Paso") == "Ir a El Paso"


def test_the_phone_is_given_the_same_catalogue_as_data() -> None:
    known = languages.catalogue("es")
    again = Catalogue.from_json(json.loads(json.dumps(known.as_json())))
    for scope, text in (
        ("pan.depth", "Pan 1 in deep, 1 1/2 in asked."),
        ("common", "To answer: Permit; Room."),
    ):
        assert again.sentence(scope, text) == known.sentence(scope, text) != text


def test_the_language_is_spoken_within_its_block_alone() -> None:
    assert languages.say("To fix") == "To fix"
    with languages.speaking("es"):
        assert languages.say("{count} to fix", count=2) == "2 por corregir"
        with languages.speaking("xx"):
            assert languages.say("To fix") == "To fix"
        assert VERDICTS["fails"].here == "Corregir"
    assert languages.spoken() == "en"


def test_sections_are_called_alike_in_the_catalogue_and_beside_the_english() -> None:
    known = languages.catalogue("es")
    assert {one.en: one.es for one in SECTIONS.values()} == {
        one.en: known.text(one.en) for one in SECTIONS.values()
    }
