"""Pages in Spanish: who gets which language, that nothing on them bypasses the catalogue, that what is kept is English."""

from __future__ import annotations

import json
import re
import subprocess
from pathlib import Path
from typing import Any

import pytest
from bs4 import BeautifulSoup

from heaterapp import languages
from heaterapp.languages.sentences import Catalogue
from heaterapp.rules import CATALOGUE, SECTIONS
from heaterapp.sheet.words import Words
from heaterapp.web import language as chosen
from tests.web.conftest import job_answers

SPANISH = {"Accept-Language": "es-MX,es;q=0.9,en;q=0.5"}
MARKED = re.compile(r"⟦[^⟦⟧]*⟧")
WORD = re.compile(r"[A-Za-z]{3,}")


class Marked(Catalogue):
    """A language in which every text of the catalogue stands in brackets."""

    def __init__(self) -> None:
        super().__init__({}, {})
        self.sentence = lambda scope, text: f"⟦{text}⟧"  # type: ignore[assignment]

    def text(self, text: str) -> str:
        return f"⟦{text}⟧"


@pytest.fixture
def job(store: Any, people: Any) -> Any:
    """A job of the installer with something to fix, and as good as signed."""
    me = people["a", "installer"]
    return store.jobs.create(me.organisation, me.id, job_answers("gas_storage_to_fix"))


def test_the_browser_is_answered_in_its_language_and_a_choice_goes_before_it(visit: Any) -> None:
    nobody = visit(None)
    assert '<html lang="en">' in nobody.get("/sign-in").text
    page = nobody.get("/sign-in", headers=SPANISH)
    assert '<html lang="es">' in page.text
    assert "Iniciar sesión" in page.text
    assert '<html lang="en">' in nobody.get("/sign-in", headers={"Accept-Language": "fr,de"}).text
    answer = nobody.post("/language", data={"language": "es", "next": "/sign-in"})
    assert answer.status_code == 303
    assert answer.headers["Location"] == "/sign-in"
    assert "Iniciar sesión" in nobody.get("/sign-in", headers={"Accept-Language": "en"}).text


@pytest.mark.parametrize("sent", [{}, {"language": "xx"}, {"language": ["es", "en"]}, {"language": "../es"}])
def test_a_language_that_is_none_is_refused_and_changes_nothing(visit: Any, sent: dict[str, Any]) -> None:
    nobody = visit(None)
    assert nobody.post("/language", data=sent).status_code == 400
    assert '<html lang="en">' in nobody.get("/sign-in").text


def test_a_choice_never_leads_away_from_here(visit: Any) -> None:
    answer = visit(None).post("/language", data={"language": "es", "next": "https://elsewhere.example/"})
    assert answer.headers["Location"] == "/"


def test_what_a_form_lacks_is_said_in_the_language_of_its_page(visit: Any, job: Any) -> None:
    nobody, installer = visit(None), visit("installer")
    page = nobody.post("/sign-in", data={}, headers=SPANISH)
    assert ("Escriba su contraseña." in page.text, "Type your" in page.text) == (True, False)
    long = nobody.post("/sign-in", data={"login": "x" * 101, "password": "y"}, headers=SPANISH)
    assert "como máximo 100 caracteres" in long.text
    page = installer.post("/account/password", data={}, headers=SPANISH)
    assert ("Contraseña nueva: escriba una." in page.text, "type one" in page.text) == (True, False)
    # A way of the installer's that stands among the office's own.
    answer = installer.post(f"/jobs/{job.id}/mail", data={"address": "a@b.example"}, headers=SPANISH)
    assert (answer.status_code >= 400, '<html lang="es">' in answer.text) == (True, True)


def test_the_account_has_the_setting_and_the_office_stays_english(visit: Any) -> None:
    owner = visit("owner")
    page = owner.get("/account", headers=SPANISH).text
    assert '<html lang="es">' in page
    assert re.findall(r'name="language" value="(\w+)" aria-current="true"', page) == ["es"]
    assert "una traducción al español" in page
    office = owner.get("/office", headers=SPANISH).text
    assert '<html lang="en">' in office
    assert "Cerrar sesión" not in office
    assert "Sign out" in office


def test_a_verdict_its_words_and_an_error_are_spanish_while_the_job_stays_as_stored(
    visit: Any, store: Any, job: Any
) -> None:
    installer = visit("installer")
    water = installer.get(f"/jobs/{job.id}/water", headers=SPANISH).text
    assert "Corregir" in water
    assert "El tanque cuelga de su tubería." in water
    assert "The tank hangs" not in water
    sent = {"changes": {"house_pressure_psi": "many"}, "revision": job.revision, "section": "water"}
    told = installer.post_json(f"/jobs/{job.id}/answers", sent, headers=SPANISH).get_json()
    assert told["errors"]["house_pressure_psi"].startswith("un número en psi")
    assert "Guardar, luego" in told["onward"]
    assert "por corregir" in told["tallies"]["water"]
    assert store.jobs.get(job.organisation, job.id).answers == job.answers
    assert "The tank hangs on its pipe." in installer.get(f"/jobs/{job.id}/water").text, (
        "the next is told in English"
    )


COUNTING = """
const { showCounts } = await import(process.argv[1]);
const word = { dataset: { one: "cumple", many: "cumplen" }, textContent: "cumplen" };
const one = { dataset: { count: "meets" }, textContent: "0", nextElementSibling: word };
const bare = { dataset: { count: "fix" }, textContent: "0", nextElementSibling: null };
const said = [1, 2, "?", undefined].map((meets) => {
  showCounts({ querySelectorAll: () => [one, bare] }, { meets, fix: 1 });
  return `${one.textContent} ${word.textContent}, ${bare.textContent}`;
});
console.log(JSON.stringify(said));
"""


def test_a_verb_behind_one_is_singular_on_the_page_and_after_every_keystroke(app: Any) -> None:
    strip = app.jinja_env.get_template("job/_ways.html").module.strip
    for language, one, many in (("en", "meets", "meet"), ("es", "cumple", "cumplen")):
        for count, word in ((0, many), (1, one), (2, many)):
            with app.test_request_context(), languages.speaking(language):
                page = BeautifulSoup(strip({"counts": {"meets": count, "fix": 1, "answer": 1}}), "html.parser")
            said = page.select_one(".count-meets")
            assert said.text.split() == [str(count), word]
            assert said.select_one("[data-count] + [data-one]")["data-many"] == many
    script = Path(__file__).parents[2] / "static" / "counts.js"
    run = ["node", "--input-type=module", "--eval", COUNTING, "--", script.as_uri()]
    done = subprocess.run(run, capture_output=True, check=True, text=True, timeout=60)
    assert json.loads(done.stdout) == ["1 cumple, 1", "2 cumplen, 1", "? cumplen, 1", "0 cumplen, 1"]


def test_a_paper_signed_on_a_spanish_page_is_the_english_one(visit: Any, store: Any, job: Any) -> None:
    installer = visit("installer")
    page = installer.get(f"/jobs/{job.id}/sign", headers=SPANISH).text
    assert "Tomé las medidas" in page
    assert '<p lang="en">I took the measurements' in page
    form = {
        one["name"]: one.get("value", "")
        for one in BeautifulSoup(page, "html.parser").select("main input[name]")
    }
    form |= {"name": "Ana Ruiz", "consent": "yes", "strokes": "", "homeowner": "declined"}
    # The browser was turned to English meanwhile: what was read and signed is the page as it was shown.
    answer = installer.post(f"/jobs/{job.id}/sign", data=form)
    assert answer.status_code == 302, answer.text
    (hit,) = store.records.of_job(job.organisation, job.id)
    record = store.records.get(job.organisation, hit.record)
    signed, declined = json.loads(record.signature)["signatures"]
    assert (signed["statement"][:23], signed["read_in"]) == ("I took the measurements", "es")
    assert "read_in" not in declined
    assert b"The tank hangs on its pipe." in record.report
    assert "tubería".encode() not in record.report


@pytest.mark.parametrize(
    ("sent", "read"), [("es", "es"), ("en", ""), ("xx", ""), ("", ""), (["es", "es"], ""), (None, "")]
)
def test_a_form_tells_the_language_it_was_shown_in(app: Any, sent: Any, read: str) -> None:
    with app.test_request_context(method="POST", headers=SPANISH, data={} if sent is None else {"read_in": sent}):
        assert chosen.shown_in() == read


def test_no_text_of_an_installer_s_page_bypasses_the_catalogue(
    visit: Any, job: Any, monkeypatch: pytest.MonkeyPatch
) -> None:
    languages.teach("xx", Marked())
    monkeypatch.setattr(chosen, "wanted", lambda: "xx")
    plain = Words.of
    monkeypatch.setattr(Words, "of", lambda self, code: f"⟦{self.en}⟧" if code == "xx" else plain(self, code))
    installer = visit("installer")
    pages = [
        "/jobs",
        "/jobs/new",
        "/account",
        *(f"/jobs/{job.id}/{one}" for one in ("review", "sign", "codes", *SECTIONS)),
    ]
    try:
        left = {path.split("/")[-1]: left_in(installer.get(path).text, job.answers) for path in pages}
        left["sign-in"] = left_in(visit(None).get("/sign-in").text, {})
    finally:
        languages._taught.pop("xx")
    assert not any(left.values()), {page: words for page, words in left.items() if words}


def left_in(page: str, answers: dict[str, Any]) -> set[str]:
    """The words of a page that did not come through the catalogue and are nobody's data."""
    soup = BeautifulSoup(page, "html.parser")
    own = set(WORD.findall(json.dumps(answers) + " ".join(CATALOGUE)))
    own |= set(WORD.findall(" ".join(one.get_text() for one in soup.select(".leave-name, .who"))))
    own |= {"cfm", "min", "English", "heaterapp", "UTC", "Btu", "psi", "gal", "degF", "AWG", "Español", "Espa", "ene"}
    for one in soup.select("script, style, .leave-name, .who, [lang=en], h1 + .quiet, .devices"):
        one.decompose()
    texts = [soup.get_text(" ")]
    for name in ("aria-label", "title", "alt", "placeholder"):
        texts += [one[name] for one in soup.find_all(attrs={name: True})]
    text = " ".join(texts)
    while MARKED.search(text):
        text = MARKED.sub(" ", text)
    return {word for word in WORD.findall(text) if word not in own}
