"""A paper in Spanish: nothing on it bypasses the catalogue, its numbers are the record's, and English says it is."""

from __future__ import annotations

import dataclasses
import io
import json
import re
from html import unescape
from typing import Any

import pikepdf
import pypdf
import pytest

from heaterapp import languages
from heaterapp.certificate import Filed, NotReady, Translated, press, render_here, workers
from heaterapp.certificate.content import paper_of
from heaterapp.certificate.lettering import English
from heaterapp.certificate.press import html_of
from heaterapp.certificate.translated import identifiers, pressed, translated_paper
from heaterapp.filling.signed import RECEIPT, STATEMENTS
from heaterapp.languages.found import is_publication
from heaterapp.languages.sentences import Catalogue
from heaterapp.sheet.words import Words
from tests.certificate.conftest import DRAWN
from tests.certificate.specimens import CORRECTION, HOMEOWNER, Shot, WithPhotos, plain, signed

TAG = re.compile(r"<style>.*?</style>|<[^>]*>", re.DOTALL)
NUMBER = re.compile(r"\d+(?:[.,/]\d+)*")
ENGLISH = re.compile(r'<blockquote lang="en">(.*?)</blockquote>')
MARKED = re.compile(r"⟦[^⟦⟧]*⟧")
WORD = re.compile(r"[A-Za-z]{3,}")
OURS = {"UTC", "SHA", "psi", "gal", "Btu", "cfm", "AWG", "min", "page", "jpg", "heaterapp"}


class Marked(Catalogue):
    """A language in which every text of the catalogue stands in brackets."""

    def __init__(self) -> None:
        class All(dict[str, str]):
            def get(self, key: str, default: Any = None) -> Any:
                return f"⟦{key}⟧"

        super().__init__({}, {})
        self.texts = All()
        self.sentence = lambda scope, text: f"⟦{text}⟧"  # type: ignore[assignment]


@pytest.fixture(scope="module")
def filed(record_of: Any) -> dict[str, Filed]:
    """Papers that between them say everything that a paper can say."""
    def of(job: str, changes: dict[str, Any] | None = None, **more: Any) -> Filed:
        made = record_of(job, changes)
        photo = Shot(plain(40, 30), "plate", ""), Shot(b"", "gauge", chosen=False)
        return Filed.of(WithPhotos(made.job, made.report, photos=photo, **more))

    accepted = {"expansion.tank_supported": {"by": "Lee", "on": "2026-11-24", "why": "short pipe"}}
    unread = {"house_pressure_psi": {"could_not_measure": "no gauge"}, "relief_capacity_btuh": None}
    return {
        "certificate": of("gas_storage_us_ca", {"expansion_tank_support": "pipe_only", "place": "model_upc_2024",
                          "acceptances": accepted, "street_pressure_psi": 390}, revision=3, replaces_number="C-000011",
                          context={"correction": CORRECTION}, signature=signed(HOMEOWNER, HOMEOWNER | {"method": "declined"})),
        "correction_list": of("gas_storage_to_fix", {"spillage_after_5min": "seen", **unread}, kind="correction_list",
                              replaces_number="L-000002", context={"check_address": "https://papers.example/check"}),
        "findings_report": of("gas_storage_existing_us_ca", {"install_year": 2011}, kind="findings_report"),
        "electric": of("heat_pump_irc_2021"),
    }  # fmt: skip


def words_of(markup: str) -> str:
    """The markup's words, what its pictures are called included."""
    alt = " ".join(re.findall(r'alt="([^"]*)"', markup))
    return unescape(f"{TAG.sub(' ', markup.partition('<body')[2].partition('>')[2])} {alt}")


def test_no_text_of_a_paper_bypasses_the_catalogue(filed: dict[str, Filed], monkeypatch: pytest.MonkeyPatch) -> None:
    languages.teach("xx", Marked())
    monkeypatch.setitem(languages.LANGUAGES, "xx", "Marked")
    as_it_is = Words.of
    monkeypatch.setattr(Words, "of", lambda self, code: f"⟦{self.en}⟧" if code == "xx" else as_it_is(self, code))
    left = {}
    try:
        for name, one in filed.items():
            paper = translated_paper(Translated(one, "xx", "void", since="2026-11-26"))
            told = words_of(ENGLISH.sub(" ", html_of(paper)))
            signatures = json.loads(one.signature or b"{}")
            data = [one.organisation, one.answers(), one.context, signatures, one.content_digest, one.check_code]
            own = set(WORD.findall(json.dumps(data))) | OURS
            while MARKED.search(told):
                told = MARKED.sub(" ", told)
            left[name] = {word for word in WORD.findall(told) if word not in own and not word.isupper()}
    finally:
        languages._taught.pop("xx")
    assert not any(left.values()), left


def test_only_titles_of_books_and_a_person_s_words_stay_english_and_say_so(filed: dict[str, Filed]) -> None:
    for name, one in filed.items():
        books = {finding["book"] for finding in one.judged()["findings"]}
        for said in ENGLISH.findall(html_of(translated_paper(Translated(one, "es")))):
            plainly = unescape(said)
            known = any(plainly.removesuffix("†").endswith(book) for book in books if book and is_publication(book))
            known = known or plainly.startswith("I ") or any(plainly.endswith(end) for end in ("scope", "scope†"))
            assert known, (name, said)


def test_numbers_are_those_of_the_english_paper(filed: dict[str, Filed]) -> None:
    for name, one in filed.items():
        english, spanish = paper_of(one), translated_paper(Translated(one, "es"))
        spanish = dataclasses.replace(spanish, translation="")
        numbers = [sorted(NUMBER.findall(words_of(html_of(paper)))) for paper in (english, spanish)]
        assert len(numbers[0]) > 200
        assert numbers[0] == numbers[1], name
        for field in ("number", "check_code", "content_digest", "previous_head", "ruleset", "issued"):
            assert getattr(english, field) == getattr(spanish, field)
        cites = [[check.cite for topic in paper.met for check in topic.checks] for paper in (english, spanish)]
        digits = [[NUMBER.findall(cite) for cite in some] for some in cites]
        assert digits[0] == digits[1]
        assert sum(a == b for a, b in zip(*cites, strict=True)) > len(cites[0]) / 2


def test_an_unknown_sentence_stands_in_english_marked_and_breaks_nothing(record_of: Any) -> None:
    made = record_of()
    report = json.loads(made.report)
    report["findings"][0] |= {"why": "Nobody says this <now>.", "verdict": "authority", "found": "a thing of old"}
    report["figures"]["thermal_expansion_gal"]["worked"] = "Nobody works it so."
    filed = dataclasses.replace(Filed.of(made), report=json.dumps(report).encode())
    markup = html_of(translated_paper(Translated(filed, "es")))
    for said in ("Nobody says this &lt;now&gt;.", "a thing of old", "Nobody works it so."):
        assert f'<blockquote lang="en">{said}</blockquote>' in markup
    assert "Nobody" not in ENGLISH.sub("", markup)
    assert not ENGLISH.search(html_of(paper_of(filed))), "an English paper has no need to say so"


def test_what_was_signed_stands_as_it_was_signed_with_a_translation_named_so(record_of: Any) -> None:
    words = STATEMENTS["certificate"]
    read = {**DRAWN, "statement": words, "read_in": "es"}
    receipt = {**HOMEOWNER, "statement": RECEIPT}
    filed = Filed.of(record_of(signature=json.dumps({"signatures": [read, receipt, DRAWN]}).encode()))
    mine, owners, unknown = translated_paper(Translated(filed, "es")).signatures
    assert (mine.statement, owners.statement, unknown.statement) == (words, RECEIPT, DRAWN["statement"])
    assert all(isinstance(one.statement, English) for one in (mine, owners, unknown))
    assert mine.translation.startswith("Traducción, mostrada al firmar: Instalé este calentador")
    assert owners.translation.startswith("Traducción; se firmó en inglés: Me mostraron")
    assert unknown.translation == ""
    markup = html_of(translated_paper(Translated(filed, "es")))
    assert f'<p><blockquote lang="en">{words}</blockquote></p><p>{mine.translation} {mine.how}</p>' in markup
    assert [one.words(tight=True)[0] for one in (mine, unknown)] == [mine.translation, unknown.statement]
    english = paper_of(filed).signatures
    assert [one.translation for one in english] == ["", "", ""]
    assert ["shown in Spanish too" in one.how for one in english] == [True, False, False]


def test_what_became_of_the_paper_is_said_first(filed: dict[str, Filed]) -> None:
    one = filed["certificate"]
    for became, says in (
        (("current",), ""),
        (("replaced", "C-000099"), "C-000012 fue reemplazado; el documento que vale es C-000099. No se base en este documento."),
        (("replaced", "L-000099", "correction_list"), "C-000012 fue reemplazado; el documento más nuevo es L-000099, una lista de lo que hay que arreglar. No se base en este documento."),
        (("replaced", "", ""), "C-000012 fue reemplazado y no hay otro documento que valga. No se base en este documento."),
        (("void", "", "", "2026-11-26"), "C-000012 está anulado desde el 26 nov 2026. No se base en este documento."),
        (("void", "C-000099", "certificate", "2026-11-26"), "C-000012 está anulado desde el 26 nov 2026; el documento que vale es C-000099. No se base en este documento."),
    ):
        paper = translated_paper(Translated(one, "es", *became))
        assert paper.face == says
        assert paper.translation.startswith("Traducción. El documento que consta es C-000012 en inglés;")
        marks = {"replaced": "REEMPLAZADO. Traducción: ", "void": "ANULADO. Traducción: "}
        assert paper.footer.startswith(marks.get(became[0], "Traducción: "))


def test_a_paper_that_no_longer_stands_says_so_in_english_too(filed: dict[str, Filed]) -> None:
    one = filed["certificate"]
    copy = Translated(one, "en", "void", since="2026-11-26")
    paper, issued = translated_paper(copy), paper_of(one)
    assert (copy.name, paper.language) == ("certificate-en.pdf", "en")
    assert paper.face.startswith("C-000012 is void since 26 Nov 2026. Do not rely on this paper.")
    assert paper.translation.startswith("Copy made on request. The paper on record is C-000012; the number,")
    same = {"translation": "", "face": issued.face, "footer": issued.footer}
    assert dataclasses.replace(paper, **same) == issued
    replaced = translated_paper(Translated(one, "en", "replaced", "L-000099", "correction_list"))
    assert "the newest paper is L-000099, a list of what is to be put right" in replaced.face
    assert replaced.stop == ""
    for language, says in (("en", "Stop. Do not leave this heater running."), ("es", "Alto. ")):
        danger = Translated(one, language, "replaced", "L-000099", "correction_list", hazard_stands=True)
        assert translated_paper(danger).stop.startswith(says), "what was found since"
    body = pressed(copy)[copy.name]
    with pikepdf.open(io.BytesIO(body)) as pdf:
        assert str(pdf.Root.Lang) == "en"
        assert not pdf.attachments, "it is passed on"
        own = bytes(pdf.trailer["/ID"][0])
    named = identifiers(one.kind, one.content_digest, one.number, one.revision)
    assert own.decode() in named
    assert len(set(named)) == 2
    pages = [" ".join(page.extract_text().split()) for page in pypdf.PdfReader(io.BytesIO(body)).pages]
    assert "C-000012 is void since 26 Nov 2026. Do not rely on this paper." in pages[0]
    assert len(pages) > 1
    for printed in pages:
        assert "VOID. Copy: Installation certificate C-000012" in printed, "on every page, signatures and square code too"
    assert "C-000099 is the paper that stands" in translated_paper(dataclasses.replace(copy, other="C-000099")).face


@pytest.mark.parametrize("language", ["en", "", "xx", "../es"])
def test_another_language_is_refused_by_name(language: str, filed: dict[str, Filed]) -> None:
    with pytest.raises(ValueError, match="language: expected one of es, not"):
        Translated(filed["certificate"], language)


def test_papers_on_record_are_english_whatever_is_spoken(
    filed: dict[str, Filed], monkeypatch: pytest.MonkeyPatch
) -> None:
    class Taken(Exception):
        pass

    def taken(paper: Any) -> None:
        raise Taken(paper)

    monkeypatch.setattr(press, "_laid", taken)
    with languages.speaking("es"), pytest.raises(Taken) as found:
        render_here(filed["electric"])
    assert found.value.args[0] == paper_of(filed["electric"])


def test_a_worker_makes_it_by_its_kind_and_names_the_number_when_it_dies(filed: dict[str, Filed]) -> None:
    assert workers.MAKERS[Translated] is pressed
    wanted = Translated(filed["certificate"], "es")
    assert wanted.name == "certificate-es.pdf"

    class Dying:
        alive = True

        def press(self, given: Any, seconds: float) -> Any:
            raise workers.Died

        def stop(self) -> None:
            pass

    shop = workers._Shop()
    shop._start = Dying  # type: ignore[method-assign,assignment]
    with pytest.raises(workers.RenderFailed, match="the papers of C-000012"):
        shop.press(wanted, 1)


def test_a_certificate_that_may_not_be_is_none_in_spanish_either(record_of: Any, with_report: Any) -> None:
    barred = with_report(record_of(), lambda report: report.update(outcome="fix"))
    with pytest.raises(NotReady, match="No certificate"):
        translated_paper(Translated(Filed.of(barred), "es"))


def test_every_caution_of_the_english_paper_stands_on_the_spanish_one(filed: dict[str, Filed]) -> None:
    for one in filed.values():
        english, spanish = paper_of(one), translated_paper(Translated(one, "es"))
        told = [paper.every_caution for paper in (english, spanish)]
        assert len(told[0]) == len(told[1]) >= 3
        assert not set(told[0]) & set(told[1])



def test_sentences_begin_with_a_capital_and_end_once(record_of: Any) -> None:
    open_ = {"elevation_ft": 5183, "heater_altitude_limit_ft": None, "high_altitude_kit": None}
    odd = {"street_pressure_psi": 390, "neighbour_opening_ft": 900, "year_built": 1951, "dry_weight_lb": 900}
    receipts = [HOMEOWNER | {"relation": said} for said in ("owner", "Tenant", "the aunt")]
    one = Filed.of(record_of("gas_storage_to_fix", {**open_, **odd}, kind="correction_list", signature=signed(*receipts)))
    for made, answer, roles in (
        (paper_of(one), "plate. The plate's limit", ["owner", "Tenant", "the aunt"]),
        (translated_paper(Translated(one, "es")), "nada. El límite de la placa", ["propietario", "inquilino", "the aunt"]),
    ):
        told = words_of(html_of(made))
        assert answer in " ".join(told.split())
        assert len(made.flags) > 1
        assert ".;" not in told
        assert [one.role.partition("(")[2] for one in made.signatures if "(" in one.role] == [f"{said})" for said in roles]
