"""A short form of wording_jobs.py, and that it sees what it is to see, on pages, on paper and in PDFs."""

from __future__ import annotations

from collections import Counter
from collections.abc import Iterator
from pathlib import Path
from typing import Any

import pytest
from jinja2 import DictLoader

from heaterapp.certificate import press
from heaterapp.certificate.content import paper_of
from heaterapp.certificate.filed import Filed
from heaterapp.sheet import left
from tests import wording_jobs
from tests.random_jobs import _whole
from tests.wording.fallen import STATES, Fallen
from tests.wording.pages import Judged, Office, broken
from tests.wording.passes import (
    AROUND,
    fallen_words,
    never_words,
    passing_words,
    text_of,
    whole_passing_words,
)

SEED = 1
FIRST, JOBS, TEXTS = 7, 14, 10


@pytest.fixture(scope="module")
def office(tmp_path_factory: pytest.TempPathFactory) -> Any:
    made = Office(tmp_path_factory.mktemp("wording"))
    yield made
    made.close()


def to_fix() -> Judged:
    """The whole job of which one thing fails."""
    return Judged.of(_whole(Path(__file__).parent / "jobs" / "gas_storage_to_fix.json"))


def seen(office: Office, now: Judged, language: str = "en") -> Iterator[str]:
    """The faults of all that tells of a job, one thing after another."""
    for name, told in office.told(now, language):
        yield from wording_jobs.faults_of(name, text_of(told), now)


def faults(office: Office, now: Judged, language: str = "en") -> list[str]:
    """The faults of all that tells of a job."""
    return list(seen(office, now, language))


def test_no_word_for_a_pass_where_anything_is_open(office: Office) -> None:
    counts: Counter[str] = Counter()
    found = [fault for number in range(FIRST, FIRST + JOBS) for fault in wording_jobs.tried(office, number, SEED, counts)]
    assert found == []
    assert counts["texts"] >= TEXTS * JOBS
    assert counts["fix"] > JOBS // 2
    assert counts["open in Spanish"]
    assert counts["broken"] >= JOBS // wording_jobs.BROKEN_EVERY


def test_reading_around_words_for_a_pass_finds_what_reading_the_whole_finds() -> None:
    far = "water " * 2 * (AROUND // 6)
    for said in (
        "This is not an installer's certificate. It meets the code.", "not a certificate", "Checks: 1 meets 2 fix",
        "all meet", "ready", "from a certificate, correction list or findings report", "İt meets", "CUMPLE", "meets meets",
    ):  # fmt: skip
        for text in (said, far + said, f"{said} {far}", f"{far}{said} {far}{said} {said}"):
            words = [[one.split("' in ")[0] for one in find(text)] for find in (passing_words, whole_passing_words)]
            assert words[0] == words[1], text
    assert passing_words(f"{far}all meet {far}")
    assert not passing_words(f"{far}This is not an installer's certificate. {far}")


def test_real_papers_say_no_more_than_their_markup(office: Office) -> None:
    assert [fault for number in (0, 1) for fault in wording_jobs.printed(office, number, SEED)] == []


def test_a_check_that_breaks_is_never_a_pass() -> None:
    answers = _whole(Path(__file__).parent / "jobs" / "gas_storage_us_ca.json")
    assert Judged.of(answers).outcome == "ready"
    with broken("relief.pressure_setting"):
        now = Judged.of(answers)
    assert b'"verdict":"error"' in now.report
    assert (now.outcome, now.kind) == ("fix", "correction_list")


@pytest.mark.parametrize(
    ("template", "right", "wrong"),
    [
        ("job/review.html", "{{ now.outcome_words }}.", "Ready to issue."),
        ("job/issued.html", "<b>This is not a certificate.</b>", "<b>Your certificate.</b>"),
        ("job/list.html", "{{ one.heater }}", "{{ one.heater }}, passed"),
        ("public/check.html", "{{ states[found.state] }}", "Complies with code"),
        ("share/home.html", "</main>", "<p>Todo está en orden.</p></main>"),
    ],
)
def test_a_page_that_says_it_is_seen(office: Office, template: str, right: str, wrong: str) -> None:
    text, _, _ = office.app.jinja_loader.get_source(office.app.jinja_env, template)
    if right not in text:
        right = "{% endblock %}"
        wrong = f"<p>{wrong}</p>{right}"
    loader, office.app.jinja_env.loader = office.app.jinja_env.loader, None
    office.app.jinja_env.loader = _First({template: text.replace(right, wrong)}, loader)
    office.app.jinja_env.cache.clear()
    try:
        assert any(seen(office, to_fix()))
    finally:
        office.app.jinja_env.loader = loader
        office.app.jinja_env.cache.clear()


class _First(DictLoader):
    """Some templates of our own before the app's."""

    def __init__(self, own: dict[str, str], others: Any) -> None:
        super().__init__(own)
        self._others = others

    def get_source(self, environment: Any, template: str) -> Any:
        first = super() if template in self.mapping else self._others
        return first.get_source(environment, template)


def test_the_strip_and_the_paper_are_seen_too(office: Office, monkeypatch: pytest.MonkeyPatch) -> None:
    assert faults(office, to_fix()) == []
    for one in ((True, False), (True, True)):
        monkeypatch.setitem(left.LEADS, one, "Nothing to fix")
    seen = faults(office, to_fix())
    assert {one.partition(":")[0] for one in seen} == {"review", "live strip"}
    monkeypatch.undo()
    real = press.html_of
    monkeypatch.setattr(
        "tests.wording.pages.html_of",
        lambda paper: real(paper).replace("Open items", "All good").replace("To fix", "Approved"),
    )
    assert {one.partition(":")[0] for one in faults(office, to_fix())} == {"paper"}
    monkeypatch.setattr(
        "tests.wording.pages.html_of",
        lambda paper: real(paper).replace("<h2>Por corregir<", "<h2>Todo bien<"),
    )
    assert {one.partition(":")[0] for one in faults(office, to_fix(), "es")} == {"paper, es"}


def test_what_may_be_said_is_left_alone() -> None:
    row = '<li class="short"><span class="verdict verdict-meets"><b>Meets</b></span> Gas leak: found passed</li>'
    assert passing_words(text_of(row)) == []
    assert passing_words(text_of("<h2>Meets</h2>"))
    assert (
        passing_words(
            "This is not a certificate. No certificate was issued with it. Esto no es un certificado."
        )
        == []
    )
    for said in ("Revisiones que cumplen; 89 en la lista", "Ningún tamaño cumple el límite", "Ninguna altura cumple"):
        assert passing_words(said) == [], said
    for said in ("Checks: 1 meets, 2 to fix; of good practice 1 meets", "Revisiones: 1 cumple, 2 por corregir"):
        assert passing_words(said) == [], said
    for said in ("1 meets 5 fix 13 to answer", "1 cumple 5 por corregir 13 por responder"):
        assert passing_words(said) == [], said
    assert passing_words("Heater 1 meets the code")
    assert passing_words("Las revisiones cumplen")
    assert passing_words("Algún tamaño cumple")
    assert passing_words("Certificate C-000001")
    assert passing_words("El certificado va adjunto.")
    assert passing_words("Una lista de lo que hay que arreglar, en orden de gravedad") != []
    for said in (
        "A safe heater",
        "Guaranteed",
        "approved by the city",
        "instalación segura",
        "garantizado",
        "aprobada",
    ):
        assert never_words(said), said
    assert never_words("Health and Safety Code") == []


def test_a_certificate_of_what_fails_is_refused(office: Office) -> None:
    office.now = to_fix()
    filed = Filed.of(office._opened())
    assert paper_of(filed).kind == "correction_list"


@pytest.mark.parametrize("state", STATES)
def test_no_page_of_a_paper_that_stands_no_more_reads_as_a_pass(office: Office, state: str) -> None:
    ready = Judged.of(_whole(Path(__file__).parent / "jobs" / "gas_storage_us_ca.json"))
    assert ready.outcome == "ready"
    told = {name: text_of(page) for name, page in Fallen(office, state).told(ready)}
    assert {name: words for name, text in told.items() if (words := fallen_words(text))} == {}
    says = {"void": "C-000001 is void since", "replaced": "C-000001 was replaced by C-000002."}
    for view in ("insurer", "warranty", "address"):
        assert f"Certificate {says[state]}" in told[view], view
