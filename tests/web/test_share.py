"""The homeowner's page: both languages say the same, plainly, and the link gives nothing to guessers."""

from __future__ import annotations

import re
import string
from typing import Any

import pytest
from bs4 import BeautifulSoup

from heaterapp.sheet.words import Words
from heaterapp.web import home_words

from .conftest import PAPER

NEVER = re.compile(r"\b(safe|safely|safety|guarante\w*|approv\w*|segur[oa]s?|garanti\w*|aproba\w*)\b", re.I)
JARGON = re.compile(r"\b(verdict|finding|meets|clause|psia|Btu|cumple|hallazgo)\b", re.I)


@pytest.fixture
def link(issue: Any, store: Any) -> Any:
    def of(**different: Any) -> str:
        made = issue(**different)
        token, _ = store.shares.make(made.organisation, made.id)
        return f"/s/{token}"

    return of


def every_pair() -> list[tuple[str, Words]]:
    pairs = [(f"SAYS {name}", words) for name, words in home_words.SAYS.items()]
    pairs += [(f"HEATERS {name}", words) for name, words in home_words.HEATERS.items()]
    pairs += [(f"CARE {line[0]} {n}", words) for line in home_words.CARE for n, words in enumerate(line[1:])]
    return pairs


@pytest.mark.parametrize(("name", "words"), every_pair(), ids=[name for name, _ in every_pair()])
def test_every_english_sentence_has_a_spanish_one_with_the_same_numbers_and_gaps(
    name: str, words: Words
) -> None:
    assert words.en.strip()
    assert words.es.strip()
    assert words.en != words.es or name in {"SAYS who_gas"}
    gaps = [sorted(field for _, field, _, _ in string.Formatter().parse(text) if field) for text in words]
    assert gaps[0] == gaps[1]
    assert re.findall(r"\d+", words.en) == re.findall(r"\d+", words.es)
    assert not NEVER.search(words.en)
    assert not NEVER.search(words.es)


def shape(page: BeautifulSoup) -> list[str]:
    return [tag.name for tag in page.find("main").find_all(True)]


@pytest.mark.parametrize(
    "job",
    [
        {},
        {"heater": "electric"},
        {"job_kind": "existing", "install_year": 2011},
        {"mixing_valve_fitted": "yes", "mixed_outlet_f": 120, "thermostat_f": 140},
        {
            "house_pressure_psi": {"could_not_measure": "no gauge"},
            "job_kind": "existing",
            "install_year": 2011,
        },
    ],
    ids=["gas", "electric", "existing", "mixed", "unmeasured"],
)
def test_both_languages_have_the_same_parts_and_no_jargon(visit: Any, link: Any, job: dict[str, Any]) -> None:
    where = link(**job)
    pages = {}
    for language in ("en", "es"):
        answer = visit().get(f"{where}?lang={language}")
        assert answer.status_code == 200
        pages[language] = BeautifulSoup(answer.text, "html.parser")
        text = pages[language].text
        assert pages[language].html["lang"] == language
        assert not NEVER.search(text), NEVER.search(text)
        assert not JARGON.search(text), JARGON.search(text)
        assert "None" not in text
        assert "{" not in text
    assert shape(pages["en"]) == shape(pages["es"])
    other = pages["en"].find("a", string="Español")
    assert (other["lang"], other["hreflang"], other["href"]) == ("es", "es", f"{where}?lang=es")


@pytest.mark.parametrize("asked", ["", "?lang=", "?lang=de", "?lang=es'--", "?lang=" + "x" * 5000])
def test_an_unknown_language_is_english(visit: Any, link: Any, asked: str) -> None:
    assert BeautifulSoup(visit().get(link() + asked).text, "html.parser").html["lang"] == "en"


def test_the_emergency_box_stands_first_and_is_short(visit: Any, link: Any) -> None:
    for language in ("en", "es"):
        main = BeautifulSoup(
            visit().get(f"{link(job_ref=language)}?lang={language}").text, "html.parser"
        ).find("main")
        box = main.find("section")
        assert "emergency" in box["class"]
        assert len(box.text.split()) <= 120
        assert box.text.count("911") == 2
    assert "Never plug or cap this pipe" in home_words.SAYS["relief_water_do"].en


def test_the_numbers_are_sentences(visit: Any, link: Any) -> None:
    page = BeautifulSoup(visit().get(link(outlet_temperature_f=120)).text, "html.parser")
    said = [item.find_all("span")[-1].text for item in page.find(class_="numbers").find_all("li")]
    assert said == [
        "The heater is set to 120 °F.",
        "At the tap the water measured 120 °F.",
        "At 140 °F a bad burn takes seconds. At 120 °F it takes minutes.",
        "Hot tap water can burn. Test the bath with your hand before a child or an older person gets in.",
        "The water pressure in the house was 60 psi.",
        "The small expansion tank holds air at 60 psi. It makes room for water that grows as it heats.",
        "2 straps hold the tank to the wall.",
    ]
    assert "September 3, 2026" in page.text
    assert "40 gallons" in page.text


def test_a_heater_looked_over_is_not_called_installed_and_gas_words_stay_with_gas(
    visit: Any, link: Any
) -> None:
    looked = visit().get(link(job_kind="existing", install_year=2011)).text
    assert "looked over a gas water heater" in looked
    assert "installed a" not in looked
    electric = visit().get(link(heater="electric")).text
    assert "installed an electric water heater" in electric
    assert "flame, or soot" not in electric
    assert "Burner" not in electric


def syllables(word: str) -> int:
    groups = re.findall(r"[aeiouy]+", word.lower())
    silent = word.lower().endswith("e") and not word.lower().endswith("le") and len(groups) > 1
    return max(1, len(groups) - silent)


def test_the_english_reads_at_grade_eight_or_below() -> None:
    """Flesch-Kincaid grade: 0.39 words/sentence + 11.8 syllables/word - 15.59 (Kincaid and others, 1975)."""
    text = " ".join(
        re.sub(r"\{\w+\}", "60", words.en) + ("" if words.en.endswith(".") else ".")
        for _, words in every_pair()
    )
    sentences = [part for part in re.split(r"[.:;]\s", text) if part.strip()]
    words = re.findall(r"[A-Za-z']+", text)
    grade = 0.39 * len(words) / len(sentences) + 11.8 * sum(map(syllables, words)) / len(words) - 15.59
    assert grade <= 8
    assert max(len(part.split()) for part in sentences) <= 22


def test_the_spanish_reads_as_easily() -> None:
    """Szigriszt-Pazos: 206.835 - 62.3 syllables/word - words/sentence; 55 and above is normal or easier (from memory)."""
    text = " ".join(
        re.sub(r"\{\w+\}", "60", words.es) + ("" if words.es.endswith(".") else ".")
        for _, words in every_pair()
    )
    sentences = [part for part in re.split(r"[.:;]\s", text) if part.strip()]
    words = re.findall(r"[A-Za-záéíóúñü]+", text)
    vowels = sum(max(1, len(re.findall(r"[aeiouáéíóúü]+", word.lower()))) for word in words)
    assert 206.835 - 62.3 * vowels / len(words) - len(words) / len(sentences) >= 55
    assert max(len(part.split()) for part in sentences) <= 24


def test_the_paper_comes_to_the_byte(visit: Any, link: Any) -> None:
    answer = visit().get(link() + "/certificate.pdf")
    assert answer.data == PAPER + b"C-000001"
    assert answer.headers["Content-Type"] == "application/pdf"
    assert answer.headers["Content-Disposition"].startswith("attachment; ")
    assert answer.headers["Cache-Control"] == "no-store"
    assert answer.headers["Referrer-Policy"] == "no-referrer"


def test_a_newer_paper_is_named(visit: Any, issue: Any, store: Any) -> None:
    old = issue()
    token, _ = store.shares.make(old.organisation, old.id)
    new = issue(job_id=old.job_id, heater_serial="LW26K0000001")
    assert f"A newer paper, {new.number}, replaced this one." in visit().get(f"/s/{token}").text


def test_the_present_paper_is_named_and_what_it_is(visit: Any, issue: Any, store: Any, people: Any) -> None:
    old = issue()
    token, _ = store.shares.make(old.organisation, old.id)
    between = issue(job_id=old.job_id, heater_serial="LW26K0000001")
    listed = issue(job_id=old.job_id, precharge_psi="25")
    assert listed.kind == "correction_list"
    page = visit().get(f"/s/{token}").text
    assert f"{listed.number}, a list of what is to be put right, is the newest one" in page
    assert between.number not in page
    said = visit().get(f"/check?number={old.number}&code={old.check_code}").text
    assert f"Replaced by {between.number}. Current now: {listed.number}" in said
    store.void(old.organisation, listed.id, people["a", "office"].id, "wrong house")
    assert "no newer one stands" in visit().get(f"/s/{token}").text
    said = visit().get(f"/check?number={old.number}&code={old.check_code}").text
    assert f"Replaced by {between.number}. No paper of this job is current" in said


def test_a_closed_an_expired_and_an_unknown_link_look_the_same(visit: Any, issue: Any, store: Any) -> None:
    from datetime import UTC, datetime

    made = issue()
    closed, share = store.shares.make(made.organisation, made.id)
    store.shares.revoke(made.organisation, share.id)
    past, _ = store.shares.make(made.organisation, made.id, expires_at=datetime(2020, 1, 1, tzinfo=UTC))
    answers = [
        visit().get(f"/s/{token}{end}")
        for token in (closed, past, "A" * 32, "y" * 3000)
        for end in ("", "/certificate.pdf")
    ]
    assert {answer.status_code for answer in answers} == {404}
    assert len({answer.text for answer in answers}) == 1


@pytest.mark.usefixtures("stopped_clock")
def test_guessing_links_slows_down_and_a_right_one_is_not_counted(visit: Any, link: Any) -> None:
    where = link()
    for _ in range(30):
        assert visit().get(where).status_code == 200
    tries = [visit().get(f"/s/guess{n}").status_code for n in range(14)]
    assert tries[:10] == [404] * 10
    assert 429 in tries
    stopped = visit().get("/s/another")
    assert stopped.status_code == 429
    assert int(stopped.headers["Retry-After"]) >= 1
