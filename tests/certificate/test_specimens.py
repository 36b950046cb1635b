"""The specimens, each looked at as a file: text in its order, pages, boxes, breaks, letters; and each look shown to bite."""

from __future__ import annotations

import io

import pikepdf
import pytest

from heaterapp.certificate import Filed, Translated, press, wording
from heaterapp.certificate.content import paper_of
from heaterapp.certificate.cover import Cover
from heaterapp.certificate.press import Sheet
from tests.certificate import page_checks
from tests.certificate.archival_rules import RULES
from tests.certificate.drawn_rules import letters_shown
from tests.certificate.read_out import read_out
from tests.certificate.specimens import LONG_STREET
from tests.certificate.specimens import given as given_of
from tests.certificate.test_lettering import fonts_of

USUAL = {"void cover": 1, "replaced cover": 1, "gas tankless, UPC, three photos": 3, "electric tankless, IRC, slim photo": 3,
         "forty findings, long address, A4": 4, "findings report": 3}  # fmt: skip
HEAD = ("Where", "For", "Water heater")
IN_ORDER = {
    "certificate": ["Installation certificate", *HEAD, "Permit and work", "Adopted codes", "Figures and their working",
                    "Checks that meet", "Check code", "Content SHA-256"],
    "correction_list": ["Correction list", "Not a certificate", *HEAD, "To fix", "Figures and their working",
                        "Checks that meet", "Check code"],
    "findings_report": ["Findings report", "Not an installer's certificate", *HEAD, "To fix", "Check code"],
}  # fmt: skip
SPANISH = {
    "certificate": ["Certificado de instalación", "Traducción. El documento que consta es", "Lugar", "Para", "Calentador de agua",
                    "Códigos adoptados", "Cifras y su cálculo", "Revisiones que cumplen", "Código de verificación", "SHA-256 del contenido"],
    "correction_list": ["Lista de correcciones", "Traducción", "No es un certificado", "Lugar", "Por corregir", "Cifras y su cálculo",
                        "Revisiones que cumplen", "Código de verificación"],
}  # fmt: skip
SAID = {
    "gas storage, California": ["issued 25 Nov 2026, 9:03 am PST"],
    "heat pump, IRC, revision": ["corrects C-000011: Owner was Mina Pak, now Mina Park", "Signed for C-000009 by Ana Reyes"],
    "names in every script": [
        "LW<40>N & \"Sons\" </td>", "1F600", "2614", "Łukasz Ødegård", "Нина Петрова", "12 1/2", "水田町 3丁目", "王小明", "김민준", "สมชาย",
        "น้ำผึ้ง", "मार्ग", "শ্রী", "ਗੁਰਪ੍ਰੀਤ", "ગુજરાતી", "தமிழ்ச்செல்வன்", "తెలుగు", "കൃഷ്ണൻ", "ශ්‍රී", "ខ្មែរ", "မြွှုံ့", "བསྒྲུབས", "አበበ", "Nguyễn",
    ],
    "older rules": ["draining", "Old rule", "A figure long"],
    "Spanish, gas storage, California": ["C-000012 en inglés", "25 nov 2026, 9:03 a. m. PST", "120 °F", "34 3/4 a 37 1/4 in", "c0ffee" * 10 + "abcd", "no lo dice"],
    "Spanish, heat pump, revision, replaced": [
        "C-000012-3 fue reemplazado; el documento que vale es C-000013. No se base en este documento.", "corrige C-000011: Propietario era Mina Pak, ahora Mina Park",
        "Firmado para C-000009 por Ana Reyes",
    ],
    "Spanish, electric storage, void, A4": [
        "C-000012 está anulado desde el 1 oct 2026; el documento que vale es C-000014.",
        "Reemplaza a L-000002, que tenía 9 puntos por corregir: Número de serie era LW26K0000777, ahora LW26K0000779", "sin agua corriendo no se pudo medir, ahora 60 psi; cambiaron 12 respuestas más.",
    ],
    "Spanish, older rules": ["draining", "Old rule", "A figure long"],
    "void cover": ["Void", "C-000001 is void since 1 Oct 2026", "Do not rely on the paper"],
    "replaced cover": ["Replaced", "C-000011 was replaced by C-000012", "The newer paper holds"],
    "forty findings, long address, A4": ["40. "],
    "electric tankless, IRC, slim photo": ["Device time 26 Nov 2026, 1:14 am PST"],
}  # fmt: skip


@pytest.fixture(scope="module")
def looked(specimens):
    """Every specimen's first file with its pages as they are seen."""
    firsts = {name: next(iter(files.values())) for name, files in specimens.items()}
    return {name: (body, page_checks.pages_of(body)) for name, body in firsts.items()}


def _told(pages):
    return " ".join(" ".join(page.told()) for page in pages)


def test_text_stands_in_its_order_and_nothing_of_it_is_missing(looked, specimens):
    for name, (body, pages) in looked.items():
        given = given_of(name)
        kind, heads = getattr(given, "kind", ""), IN_ORDER
        if isinstance(given, Translated):
            kind, heads = given.filed.kind, SPANISH
        with pikepdf.open(io.BytesIO(body)) as pdf:
            heard = " ".join(line.partition(" ")[2] for line in read_out(pdf))
        assert not list(page_checks.out_of_order(heard, heads.get(kind, ["Asked for by", "SHA-256"]))), name
        seen, flat = _told(pages), "".join(heard.split())
        for one in SAID.get(name, ()):
            # A line may end within a name of a script that has no spaces.
            assert one in heard or (not one.isascii() and "".join(one.split()) in flat), (name, one)
        assert seen.count("SHA-256") >= 1
        if kind == "correction_list":
            assert "nstallation certificate" not in heard
    assert "".join(LONG_STREET[:300].split()) in "".join(
        line for line in read_out(pikepdf.open(io.BytesIO(looked["forty findings, long address, A4"][0])))
    ).replace(" ", "")
    assert flat


def test_usual_jobs_are_two_pages_in_their_size(looked):
    for name, (_, pages) in looked.items():
        assert len(pages) == USUAL.get(name, 2), (name, len(pages))
        size = (595.3, 841.9) if "A4" in name else (612, 792)
        assert all((page.wide, page.high) == pytest.approx(size, abs=0.1) for page in pages), name


@pytest.mark.parametrize("check", ["outside", "overlapping", "badly_broken", "signed_alone", "torn_units"])
def test_every_page_is_laid_out_well(check, looked):
    for name, (_, pages) in looked.items():
        assert not list(getattr(page_checks, check)(pages)), name


def test_no_ink_runs_off_the_paper(looked):
    for name, (body, _) in looked.items():
        assert not list(page_checks.inked_edges(body)), name


def test_each_caution_stands_once_beside_what_it_is_about_and_a_signature_with_its_statement(looked):
    for name, (_, pages) in looked.items():
        given = given_of(name)
        if isinstance(given, Cover | Translated):
            continue
        told = _told(pages)
        leads = {lead: told.count(lead) for _, lead, *_ in wording.CAUTIONS if lead in told}
        assert len(leads) >= 2
        assert set(leads.values()) == {1}, (name, leads)
        paper = paper_of(Filed.of(given))
        beside = [(one.title, *said) for one in paper.met for said in one.cautions]
        beside += [(one.title, *said) for one in (*paper.fixes, *paper.opens, *paper.excepted) for said in one.cautions]
        assert len(beside) + len(paper.cautions) == len(leads), name
        for _, lead, text in beside:
            assert not list(page_checks.apart(pages, [lead, text.split(". ")[0][:30]])), name
        assert not list(page_checks.apart(pages, ["I installed this water heater.", "Signed electronically", "Check code"])), name


def test_letters_are_ours_embedded_and_none_is_an_empty_box(specimens):
    for name, files in specimens.items():
        for body in files.values():
            assert {one.partition("-")[0] for one in fonts_of(body)} == {"Heaterapp"}, name
            with pikepdf.open(io.BytesIO(body)) as pdf:
                assert RULES["every_letter_shown_is_in_its_face"](pdf), name
                assert len(letters_shown(pdf)) >= 2


def test_three_photos_weigh_at_most_500_kb_and_a_sliver_is_shown_whole(specimens, looked):
    assert max(map(len, specimens["gas tankless, UPC, three photos"].values())) <= 500_000
    with pikepdf.open(io.BytesIO(looked["electric tankless, IRC, slim photo"][0])) as pdf:
        (picture,) = [one for one in pdf.objects if isinstance(one, pikepdf.Stream) and one.get("/Subtype") == "/Image"]
        assert int(picture.Height) > 100 * int(picture.Width)


def _page(body):
    own = press.press()
    markup = f'<html lang="en"><head><title>t</title></head><body class="letter">{body}</body></html>'
    laid = Sheet(markup, own.fetcher).render(font_config=own.fonts, stylesheets=[own.style])
    return laid.write_pdf(pdf_tags=True, pdf_identifier=b"broken")


BAD = {
    "outside": '<p style="margin-left: 560pt; white-space: pre">far too wide</p>',
    "overlapping": '<p>one line of words</p><p style="margin-top: -8pt">another line of words</p>',
    "signed_alone": "<p>I installed it.</p><p>Check code</p>",
    "torn_units": '<p style="width: 90pt">it is at most 34 3/4<br/>in high</p>',
    "badly_broken": '<p style="height: 727pt">x</p><h2 style="break-after: auto">To fix</h2><p>1</p><p>2</p><p>3</p>',
}


@pytest.mark.parametrize("check", sorted(BAD))
def test_a_page_broken_for_it_is_noticed(check):
    good = page_checks.pages_of(_page("<h2>To fix</h2><p>one line</p><p>another</p>"))
    assert not list(getattr(page_checks, check)(good))
    assert list(getattr(page_checks, check)(page_checks.pages_of(_page(BAD[check]))))


@pytest.mark.parametrize(("setting", "heading"), [
    ("roomy", 'Checks that meet<span class="aside">; 89 listed by the codes</span>'), ("close", "To answer"),
    ("roomy", "Aceptado por la autoridad"), ("close", 'Revisiones que cumplen<span class="aside">; 89</span>'),
])  # fmt: skip
def test_a_heading_alone_at_a_page_s_foot_is_told_from_a_verdict_of_the_same_words(setting, heading):
    low, next_page = '<p style="height: 722pt">x</p>', '<p style="break-before: page">y</p>'
    alone = f'<div class="{setting}">{low}<h2 style="break-after: auto">{heading}</h2>{next_page}</div>'
    assert len(list(page_checks.badly_broken(page_checks.pages_of(_page(alone))))) == 1
    verdict = f"{low}<p><b>{heading.partition('<')[0]}</b></p>{next_page}"
    assert not list(page_checks.badly_broken(page_checks.pages_of(_page(verdict))))


@pytest.mark.parametrize(("title", "word", "about"), [
    ("To fix", "Fix", "What it is about, and why"), ("Por responder", "Por responder", "Lo que falta responder"),
])  # fmt: skip
def test_a_table_that_goes_on_without_its_head_is_noticed(title, word, about):
    rows = "".join(f"<tr><td><p>{word}</p></td><td><p>Why it is so.</p></td></tr>" for _ in range(56))
    head = f"<tr><th>Verdict</th><th>{about}</th></tr>"
    whole, bare = (f'<h2>{title}</h2><table class="spoken"><{kind}>{head}</{kind}><tbody>{rows}</tbody></table>'
                   for kind in ("thead", "tbody"))  # fmt: skip
    assert not list(page_checks.badly_broken(page_checks.pages_of(_page(whole))))
    assert list(page_checks.badly_broken(page_checks.pages_of(_page(bare))))


def test_what_is_cut_missing_out_of_order_or_torn_apart_is_noticed():
    cut = _page('<div style="position: absolute; left: -40pt; top: 50pt; width: 30pt; height: 30pt; background: #000"></div><p>x</p>')
    assert list(page_checks.inked_edges(cut))
    assert not list(page_checks.inked_edges(_page("<p>x</p>")))
    assert list(page_checks.out_of_order("b a", ["a", "b"]))
    assert list(page_checks.out_of_order("a", ["a", "b"]))
    torn = page_checks.pages_of(_page('<p>Smell gas?</p><p style="break-before: page">Hot water burns.</p>'))
    assert list(page_checks.apart(torn, ["Smell gas?", "Hot water burns."]))
